"""Both halves of the engine asked the same: one node process, seeded sessions, results compared."""

from __future__ import annotations

import json
import random
import subprocess
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from guide.dating.engine import Answer, Session, conclude, explain
from guide.dating.model import Model, dump_model
from guide.dating.number import write_at
from guide.dating.prepare import prepare
from guide.words.say import load_words

ROOT = Path(__file__).resolve().parents[2]
CLOSE = 1e-9


def sessions(model: Model, count: int, seed: int) -> Iterator[Session]:
    """Yield random sequences of answers of every kind, with numbers, papers, part dates and reaches."""
    chance = random.Random(seed)
    reaches = list(model.reaches)
    for _ in range(count):
        marks = chance.sample(model.marks, chance.randint(0, min(len(model.marks), 9)))
        answers = []
        for mark in marks:
            forms = [form.id for form in mark.forms]
            kind = chance.choices(("form", "several", "changed", "none", "cannot-tell"), (12, 2, 1, 1, 2))[0]
            if kind == "several" and len(forms) < 2:
                kind = "form"
            many = {"form": 1, "several": chance.randint(2, max(2, len(forms)))}.get(kind, 0)
            chosen = sorted(chance.sample(forms, many), key=forms.index)
            answers.append(Answer(mark.id, tuple(chosen), kind))
        known = {}
        if chance.random() < 0.2:
            part = f"part:{chance.choice(model.marks).id}"
            kind = chance.choice(["registered", "despatched", "titled", "model-year", part])
            year = int(model.origin[:4]) + chance.randint(0, 5)
            known[kind] = chance.choice([f"{year}", f"{year}-{chance.randint(1, 12):02}", f"{year}-05-17"])
        yield Session(
            answers=tuple(answers), car=_number(model, chance) if chance.random() < 0.25 else None,
            reach=tuple(chance.sample(reaches, chance.randint(1, 3))) if chance.random() < 0.5 else (), known=known,
        )


def _number(model: Model, chance: random.Random) -> str:
    at = chance.randrange(len(model.series))
    series = model.series[at]
    if not series.runs or chance.random() < 0.1:
        return chance.choice(["C9999", "ABC 123", "17"])
    position = chance.randrange(sum(cars for _, _, cars in series.runs))
    return write_at(prepare(model), at, position) + chance.choice(["", *series.suffixes])


def in_browser(node: str, model: Model, asked: Sequence[Session]) -> list[dict[str, Any]]:
    """Return what the browser's engine says of each session."""
    lines = [json.dumps({"model": dump_model(model), "words": dict(load_words(model.language).templates)})]
    lines += [json.dumps({"session": as_plain(session)}) for session in asked]
    done = subprocess.run(
        [node, str(Path(__file__).with_name("run_engine.js")), str(ROOT)], input="\n".join(lines) + "\n",
        capture_output=True, text=True, encoding="utf-8", check=True, timeout=300,
    )
    answers: list[dict[str, Any]] = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(answers) == len(asked), done.stderr
    return answers


def as_plain(session: Session) -> dict[str, Any]:
    """Return a session as the browser takes it."""
    return {
        "answers": [{"mark": one.mark, "forms": list(one.forms), "kind": one.kind} for one in session.answers],
        "car": session.car, "reach": list(session.reach), "known": dict(session.known),
    }


def differences(one: Any, other: Any, at: str = "") -> Iterator[str]:
    """Yield every place where two results differ by more than `CLOSE`."""
    if isinstance(one, dict) and isinstance(other, dict):
        if list(one) != list(other):
            yield f"{at}: keys {list(one)} and {list(other)}"
        for key in one:
            yield from differences(one[key], other.get(key), f"{at}.{key}")
    elif isinstance(one, list) and isinstance(other, list):
        if len(one) != len(other):
            yield f"{at}: {len(one)} and {len(other)} long"
        for number, (a, b) in enumerate(zip(one, other, strict=False)):
            yield from differences(a, b, f"{at}[{number}]")
    elif isinstance(one, float | int) and isinstance(other, float | int) and not isinstance(one, bool):
        if abs(one - other) > CLOSE:
            yield f"{at}: {one} and {other}"
    elif one != other:
        yield f"{at}: {one!r} and {other!r}"


def compare(node: str, model: Model, asked: Sequence[Session]) -> list[str]:
    """Return where the two halves differ, session by session; empty when they agree."""
    found = []
    for number, (session, browser) in enumerate(zip(asked, in_browser(node, model, asked), strict=True)):
        here = {"concluded": conclude(model, session), "explained": explain(model, session)}
        found += [f"session {number}{place}" for place in differences(here, browser)]
    return found

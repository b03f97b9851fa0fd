"""Both halves of the engine asked the same: one node process, seeded sessions, results compared."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from guide.dating.belief.evidence import Session
from guide.dating.model import Model, dump_model
from guide.words.say import load_words
from tests.dating.asking import conclude, explain, give_reasons
from tests.pages.scripts import texts

CLOSE = 1e-9


def in_browser(node: str, model: Model, asked: Sequence[Session]) -> list[dict[str, Any]]:
    """Return what the browser's engine says of each session."""
    lines = [json.dumps({"scripts": texts("dating")})]
    lines += [json.dumps({"model": dump_model(model), "words": dict(load_words(model.language).templates)})]
    lines += [json.dumps({"session": as_plain(session)}) for session in asked]
    done = subprocess.run(
        [node, str(Path(__file__).with_name("run_engine.js"))],
        input="\n".join(lines) + "\n",
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
        timeout=300,
    )
    answers: list[dict[str, Any]] = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(answers) == len(asked), done.stderr
    return answers


def as_plain(session: Session) -> dict[str, Any]:
    """Return a session as the browser takes it."""
    return {
        "answers": [{"mark": one.mark, "forms": list(one.forms), "kind": one.kind} for one in session.answers],
        "car": session.car,
        "reach": list(session.reach),
        "known": dict(session.known),
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
        here = {
            "concluded": conclude(model, session),
            "explained": explain(model, session),
            "reasons": give_reasons(model, session),
        }
        found += [f"session {number}{place}" for place in differences(here, browser)]
    return found

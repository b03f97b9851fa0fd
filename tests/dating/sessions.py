"""Random sessions: answers of every kind, numbers, papers, part dates and reaches, from one seed."""

from __future__ import annotations

import random
from collections.abc import Iterator

from guide.dating.belief.evidence import Answer, Session
from guide.dating.belief.number import write_at
from guide.dating.belief.prepare import prepare
from guide.dating.model import Model

__all__ = ["sessions"]


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
            answers=tuple(answers),
            car=_number(model, chance) if chance.random() < 0.25 else None,
            reach=tuple(chance.sample(reaches, chance.randint(1, 3))) if chance.random() < 0.5 else (),
            known=known,
        )


def _number(model: Model, chance: random.Random) -> str:
    at = chance.randrange(len(model.series))
    series = model.series[at]
    if not series.runs or chance.random() < 0.1:
        return chance.choice(["C9999", "ABC 123", "17"])
    position = chance.randrange(sum(cars for _, _, cars in series.runs))
    return write_at(prepare(model), at, position) + chance.choice(["", *series.suffixes])

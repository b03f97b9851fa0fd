"""Tiny models made directly, for checks that enumerate everything."""

from __future__ import annotations

import json
import random
from collections.abc import Sequence
from typing import Any

from guide.dating.model import Model
from tests.dating.loading import load_model

__all__ = ["certain_model", "plain_mark", "plain_model", "tiny_model"]


def _chances(chance: random.Random, count: int, certain: float = 0.3) -> Any:
    if chance.random() < certain:
        return chance.randrange(count)
    parts = [chance.random() for _ in range(count)]
    return [part / sum(parts) for part in parts]


def plain_mark(name: str, forms: int, mixes: Sequence[Any], **more: Any) -> dict[str, Any]:
    """Return a mark as the model writes it, sure to survive and never misread unless ``more`` says otherwise."""
    base = {
        "id": name,
        "name": name.capitalize(),
        "area": "car",
        "question": f"Which {name}?",
        "look": "",
        "reach": "outside",
        "photographs": True,
        "effort": 1,
        "survives": 1,
        "misread": 0,
        "forms": [{"id": f"f{at}", "name": f"F{at}", "answer": f"f{at}"} for at in range(forms)],
        "mixes": mixes,
    }
    return base | more


def plain_model(
    cars: Sequence[float],
    periods: Sequence[int],
    marks: Sequence[dict[str, Any]],
    groups: Sequence[dict[str, Any]],
    *,
    specifications: int = 1,
    shares: Sequence[float] = (1.0,),
    sets: Sequence[dict[str, Any]] = (),
    fine: float = 0,
    gain: float = 0.0,
    period: float = 0.9,
) -> Model:
    """Return a model with one series and one day a bin; ``periods`` are the ends of the periods, in bins."""
    starts = [0, *periods[:-1]]
    raw = {
        "format": 1,
        "edition": "tiny",
        "language": "en",
        "car": "Tiny",
        "origin": "1970-01-01",
        "edges": list(range(len(cars) + 1)),
        "periods": [
            {"id": f"p{at}", "name": f"P{at}", "first": first, "end": end}
            for at, (first, end) in enumerate(zip(starts, periods, strict=True))
        ],
        "interiors": [],
        "areas": [{"id": "car", "name": "Car"}],
        "specifications": [{"splits": {"kind": str(at)}} for at in range(specifications)],
        "series": [{"id": "s", "name": "S", "body": "car", "cars": list(cars), "shares": [[0, list(shares)]]}],
        "marks": list(marks),
        "groups": list(groups),
        "sets": list(sets),
        "stop": {"period": period, "fine_days": fine, "gain_bits": gain},
        "reaches": {"outside": 0, "glass": 0.5, "door": 2},
        "chances": {
            "number_wrong": 0.01,
            "paper_wrong": 0.03,
            "stray_days": 7300,
            "lag_days": {"registered": 60},
            "part_lag_days": 120,
        },
        "numbers": {"series": []},
    }
    return load_model(json.dumps(raw))


def tiny_model(seed: int) -> Model:
    """Return a random model of up to five marks with a shared changeover, a set and replacement habits."""
    chance = random.Random(seed)
    bins, count = chance.randint(3, 4), chance.randint(3, 5)
    marks, groups = [], []
    sharing = sorted(chance.sample(range(count), 2))
    for at in range(count):
        forms = chance.choice([2, 2, 3]) if count < 5 else 2
        mixes = [_chances(chance, forms) for _ in range(4)]
        habit = None
        if chance.random() < 0.5:
            habit = [
                [part / sum(row) for part in row]
                for row in ([chance.random() + 0.1 for _ in range(forms)] for _ in range(forms))
            ]
        marks.append(
            plain_mark(
                f"m{at}",
                forms,
                mixes,
                survives=chance.uniform(0.3, 0.95),
                misread=chance.uniform(0, 0.2),
                **({"replacement": habit} if habit else {}),
            )
        )

    def run() -> list[int]:
        return [part for t in range(bins) for part in (t, chance.randrange(4))]

    groups.append(
        {
            "marks": sharing,
            "passed": [0, 0.25, 0.75, 1],
            "runs": [run() for _ in range(10)],
            "variants": [[0, 1, 2, 3, 4], [5, 6, 7, 8, 9]],
            "of": [[0, 1]],
        }
    )
    groups += [
        {"marks": [at], "runs": [run(), run()], "variants": [[0], [1]], "of": [[0, chance.randrange(2)]]}
        for at in range(count)
        if at not in sharing
    ]
    renewed = sorted(chance.sample(range(count), 2))
    return plain_model(
        [chance.uniform(1, 5) for _ in range(bins)],
        [bins // 2, bins],
        marks,
        groups,
        specifications=2,
        shares=[0.4, 0.6],
        sets=[{"id": "set", "name": "a re-trim", "marks": renewed, "share": chance.uniform(0.1, 0.6)}],
    )


def certain_model(days: int = 2) -> Model:
    """Return a model in which both marks change with the period, always survive and are never misread, so that the
    first form of one and the second of the other are on no car; nothing stops the key before both are seen."""
    half = days // 2
    marks = [plain_mark(name, 2, [0, 1]) for name in ("lamp", "dial")]
    groups = [{"marks": [at], "runs": [[0, 0, half, 1]], "variants": [[0]], "of": [[0]]} for at in range(2)]
    return plain_model([1.0] * days, [half, days], marks, groups, gain=-1.0, period=1.1)

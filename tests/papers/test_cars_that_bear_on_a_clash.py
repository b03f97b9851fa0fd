"""A paper's last and many later cars: the mark's page names every stated car that bears on it, and no car seen."""

from __future__ import annotations

import pathlib

from tests.papers.laid import lay

CLASH = "../limits/bad/a-last-and-many-later-cars"  # whose findings are pinned there


def test_the_page_puts_all_of_them_side_by_side(tmp_path: pathlib.Path) -> None:
    words = lay(CLASH, tmp_path).words_of("marks/roof-lamp.html")
    side_by_side = words.split("Put side by side:")[1].split("Nobody has ruled")[0]
    for car in ("S598", "S1100", "S900", "S905", "S601"):
        assert car in side_by_side, car
    assert "S950" not in words  # of a table of cars seen, whose numbers are not published whole

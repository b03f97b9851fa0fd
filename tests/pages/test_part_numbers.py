"""Part numbers, what can be had, and what nobody makes, as the demo's pages have them and as facts say them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from guide.facts.part_numbers import goes_round, numbers_of, successors_of
from guide.facts.records.parts import PartNumber, SupplyKind
from guide.pages.kinds import nobody_makes, part_numbers
from guide.pages.parts.to_be_had import form_lines, number_said
from guide.pages.shelf import Address, Shelf
from guide.tally.count import derive_tally
from guide.tally.wanted import unasked, wanted
from tests.told import ENGLISH, all_told


def with_numbers(guide: Any, *typed: tuple[str, str]) -> Any:
    """Return a guide whose switches have just these numbers, each with the one that took its place."""
    mark = guide.marks["switches"]
    form = mark.forms["toggle"]
    given = tuple(PartNumber(number=one, superseded_by=after, place=form.place) for one, after in typed)
    mark = replace(mark, forms={"toggle": replace(form, part_numbers=given)})
    return replace(guide, marks={"switches": mark})


def rows_of(shelf: Shelf) -> dict[str, Any]:
    context = all_told(part_numbers.PAGE.context(shelf, Address("part-numbers", "", "", "")))
    return {row["number"]: row for row in context["numbers"]}


def test_a_number_is_followed_to_the_one_in_use_however_it_is_written(guide: Any) -> None:
    numbers = numbers_of(with_numbers(guide, ("T 1", "T2"), ("T-2", "t.3"), ("T3", ""), ("T9", "T99")))
    assert successors_of("t1", numbers) == ["T2", "t.3"]
    assert successors_of("T3", numbers) == []
    assert successors_of("T9", numbers) == ["T99"]
    assert not any(goes_round(one, numbers) for one in ("T1", "T2", "T3", "T9"))


def test_numbers_that_go_round_are_known_and_followed_once(guide: Any) -> None:
    numbers = numbers_of(with_numbers(guide, ("T1", "T2"), ("T2", "T3"), ("T3", "T2"), ("T4", "T4")))
    assert {one: goes_round(one, numbers) for one in ("T1", "T2", "T3", "T4")} == {
        "T1": False,
        "T2": True,
        "T3": True,
        "T4": True,
    }
    assert successors_of("T1", numbers) == ["T2", "T3"]


def test_the_index_leads_from_a_number_to_what_took_its_place_and_back(shelf: Shelf) -> None:
    rows = rows_of(shelf)
    assert rows["T1091"]["after"] == ("T1091/3", "number-t10913")
    assert rows["T1091"]["since"] == "1975"
    assert rows["T1091"]["source"] == ("source-parts-round", "Letters about parts, May 2026")
    assert rows["T1091/3"]["before"] == [("T1091", "number-t1091")]
    assert [form.id for _, form in rows["T1091/3"]["forms"]] == ["symbols"]
    assert list(rows)[:4] == ["T1044", "T1044/2", "T1077L", "T1077R"]


def test_a_successor_that_no_part_has_is_named_and_leads_nowhere(shelf: Shelf) -> None:
    rows = rows_of(replace(shelf, guide=with_numbers(shelf.guide, ("T9", "T99"))))
    assert rows["T9"]["after"] == ("T99", "")


def test_a_form_says_its_numbers_what_is_stamped_and_what_can_be_had(shelf: Shelf) -> None:
    told = {
        name: [ENGLISH.tell(one) for one in lines_of(shelf, *name.split("/"))]
        for name in ("switches/toggle", "switches/symbols", "horn-push/padded")
    }
    assert told == {
        "switches/toggle": [
            "Part number: T1091.",
            "T1091 was superseded by T1091/3 (1975; Letters about parts, May 2026).",
            "Originals can be had: from broken cars and seldom four of one plating. Nobody makes it. "
            "As of May 2026 (Letters about parts, May 2026).",
        ],
        "switches/symbols": [
            "Part number: T1091/3.",
            "T1091/3 took the place of T1091.",
            "Originals can be had: new, over the counter until the last boxes are gone. "
            "As of May 2026 (Letters about parts, May 2026).",
        ],
        "horn-push/padded": [
            "Part number: T1520.",
            "Stamped: T1520 on the rear edge of the pad.",
            "It is remade. How a copy is told: the pad shines a little, and its rear edge bears no number. "
            "As of May 2026 (Letters about parts, May 2026).",
        ],
    }


def lines_of(shelf: Shelf, mark: str, form: str) -> list[Any]:
    return form_lines(shelf, shelf.guide.marks[mark].forms[form])


def test_a_letter_names_a_number_with_the_one_that_took_its_place(shelf: Shelf) -> None:
    (number,) = shelf.guide.marks["switches"].forms["toggle"].part_numbers
    assert ENGLISH.tell(number_said(number)) == "T1091, superseded by T1091/3"


def test_the_newest_word_says_whether_anybody_makes_a_form(shelf: Shelf) -> None:
    form = shelf.guide.marks["switches"].forms["toggle"]
    original, nobody = form.supply
    assert nobody.as_of.earliest
    later = replace(nobody.as_of, earliest=nobody.as_of.earliest.replace(year=2027), latest=None, text="2027-05/..")
    remade = replace(nobody, had=SupplyKind.REMADE)
    assert form.nobody_makes is nobody
    assert replace(form, supply=(original,)).nobody_makes is None
    assert replace(form, supply=(replace(remade, as_of=later), nobody)).nobody_makes is None
    assert replace(form, supply=(remade, replace(nobody, as_of=later))).nobody_makes is not None


def test_what_nobody_makes_is_ranked_by_the_cars_that_want_it(shelf: Shelf) -> None:
    found = wanted(shelf.limits, shelf.key, {})
    assert [one.cars for one in found] == sorted((one.cars or 0 for one in found), reverse=True)
    by_form = {(one.mark.id, one.form.id): one for one in found}
    toggles = by_form["switches", "toggle"]
    assert (
        toggles.cars == round(930 * (1 - shelf.guide.marks["switches"].survives_share)) == toggles.low == toggles.high
    )
    assert ("switches", "symbols") not in by_form
    assert unasked(shelf.limits) == 58


def test_the_range_takes_in_the_cars_seen_and_counts_that_differ(shelf: Shelf) -> None:
    seen = derive_tally(shelf.limits, shelf.key).survival
    found = {(one.mark.id, one.form.id): one for one in wanted(shelf.limits, shelf.key, seen)}
    toggles = found["switches", "toggle"]
    assert toggles.survival is not None
    assert toggles.low == round(930 * (1 - max(toggles.survival.high, 0.8))) < toggles.high
    assert toggles.low <= (toggles.cars or 0) <= toggles.high


def test_a_form_that_nobody_counted_is_worked_out_from_its_days(shelf: Shelf) -> None:
    mark = shelf.guide.marks["handbrake-grip"]
    bare = replace(mark, forms={name: replace(form, counts=()) for name, form in mark.forms.items()})
    guide = replace(shelf.guide, marks={**shelf.guide.marks, "handbrake-grip": bare})
    limits = replace(shelf.limits, moments=replace(shelf.limits.moments, guide=guide))
    found = {(one.mark.id, one.form.id): one for one in wanted(limits, shelf.key, {})}
    assert found["handbrake-grip", "smooth"].built == pytest.approx(1180, rel=0.02)  # from August 1971: 1,180 cars


def test_the_page_of_what_nobody_makes_says_each_figure_with_its_doubt(shelf: Shelf) -> None:
    context = all_told(nobody_makes.PAGE.context(shelf, Address("nobody-makes", "", "", "")))
    row = next(row for row in context["rows"] if row["form"].id == "smooth")
    assert row["cars"] == "About 240 cars want it"
    assert row["built"] == "About 1,180 built, a good figure (Works ledger, an abstract)."
    assert row["kept"].startswith("Most cars still have their own")
    assert context["unasked"] == "Of 58 forms that the works fitted, nobody has said yet what can be had."

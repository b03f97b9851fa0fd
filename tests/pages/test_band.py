"""The changeover band: slopes stand where the limits lie, ticks are the limits, a stoppage is a break."""

from __future__ import annotations

import re
from datetime import date
from xml.etree import ElementTree

import pytest

from guide.pages.parts.band import names_fit, render_axis, render_band, render_fades
from guide.pages.parts.strips import DrawnSpell, Strip


def on(year: int, month: int, day: int) -> int:
    """A day as a place on the strip."""
    return date(year, month, day).toordinal()


STRIP = Strip(
    on(1968, 1, 1),
    on(1971, 12, 31),
    ((on(1970, 2, 1), on(1970, 4, 30)),),
    tuple((str(year), on(year, 1, 1), on(year, 12, 31)) for year in range(1968, 1972)),
    (("first", on(1968, 1, 1)), ("second", on(1970, 5, 1))),
)
OLD = DrawnSpell(
    "Toggles",
    (on(1968, 1, 1), on(1968, 1, 1)),
    (on(1969, 1, 1), on(1969, 1, 31)),
    starts=False,
    first_says="1968",
    last_says="January 1969",
)
NEW = DrawnSpell(
    "Rockers",
    (on(1968, 12, 1), on(1968, 12, 11)),
    (on(1971, 12, 31), on(1971, 12, 31)),
    ends=False,
    first_says="December 1968",
    last_says="end",
)


def band(*spells: DrawnSpell, **more: bool) -> ElementTree.Element:
    return ElementTree.fromstring(render_band(STRIP, spells, "Switches", **more))


def slopes(svg: ElementTree.Element) -> list[tuple[float, float]]:
    found = [path.get("d", "") for path in svg.iter("path") if path.get("class") == "slope"]
    pairs = [re.fullmatch(r"M([\d.]+) \d+L([\d.]+) 0", path) for path in found]
    return [(float(pair[1]), float(pair[2])) for pair in pairs if pair]


def test_the_slope_runs_from_the_first_new_car_to_the_last_old_one() -> None:
    ((foot, top),) = slopes(band(OLD, NEW))
    days = STRIP.last - STRIP.first + 1
    assert foot == pytest.approx((on(1968, 12, 6) - STRIP.first) / days * 1000, abs=0.1)
    assert top == pytest.approx((on(1969, 1, 17) - STRIP.first) / days * 1000, abs=0.1)
    assert foot < top, "both were fitted in between"


def test_a_stated_share_is_level_at_its_height() -> None:
    half = DrawnSpell("Rockers", NEW.first, NEW.last, ends=False, share=0.75)
    ((line,),) = [[path.get("d", "") for path in band(OLD, half).iter("path") if path.get("class") == "slope"]]
    deep, level = re.fullmatch(r"M[\d.]+ (\d+)V([\d.]+)H[\d.]+V0", line).groups()  # type: ignore[union-attr]
    assert float(level) == pytest.approx(float(deep) / 4)


def test_what_nobody_dates_fades_and_its_line_is_broken() -> None:
    vague = DrawnSpell("Toggles", OLD.first, NEW.first, starts=False, last_is_stated=False)
    for old, faded in ((OLD, 0), (vague, 6)):
        svg = band(old, DrawnSpell("Rockers", NEW.first, NEW.last, ends=False, figure=2))
        shares = [float(path.get("fill-opacity", "")) for path in svg.iter("path") if path.get("fill-opacity")]
        assert len(shares) == faded
        assert shares == sorted(shares)
        assert any(path.get("class") == "unsure" for path in svg.iter("path")) == bool(faded)


def test_in_a_stack_each_way_of_fading_is_drawn_once_and_stands_where_a_band_has_it() -> None:
    vague = DrawnSpell("Toggles", OLD.first, NEW.first, starts=False, last_is_stated=False)
    rockers = DrawnSpell("Rockers", NEW.first, NEW.last, ends=False, figure=2)
    alone, (shared,) = band(vague, rockers), band(vague, rockers, row=True).iter("use")
    drawn = ElementTree.fromstring(f"<svg>{render_fades()}</svg>")
    (way,) = [one for one in drawn if f"#{one.get('id')}" == shared.get("href")]
    start, scale = (float(one) for one in re.findall(r"[\d.]+", shared.get("transform", ""))[:2])

    def steps(parts: ElementTree.Element) -> list[tuple[float, float, float]]:
        faint = [path for path in parts.iter("path") if path.get("fill-opacity")]
        places = [re.match(r"M([\d.]+) 0H([\d.]+)", path.get("d", "")).groups() for path in faint]  # type: ignore[union-attr]
        return [
            (float(a), float(b), float(path.get("fill-opacity", "")))
            for path, (a, b) in zip(faint, places, strict=True)
        ]

    placed = [(start + scale * a, start + scale * b, share) for a, b, share in steps(way)]
    assert len(placed) == 6
    assert [one for row in placed for one in row] == pytest.approx(
        [one for row in steps(alone) for one in row], abs=0.11
    )


def test_every_form_has_its_number_and_its_own_filling() -> None:
    rockers = DrawnSpell("Rockers", NEW.first, NEW.last, ends=False, figure=2)
    for row in (False, True):
        svg = band(OLD, rockers, row=row)
        assert {one.text for one in svg.iter("tspan") if one.get("class") == "figure"} == {"1", "2"}
        assert {path.get("fill") for path in svg.iter("path") if path.get("fill")} == {"url(#order-2)"}


def test_a_clean_break_is_upright() -> None:
    early = DrawnSpell("Toggles", OLD.first, (on(1968, 6, 30), on(1968, 6, 30)), starts=False)
    ((foot, top),) = slopes(band(early, NEW))
    assert foot == top


def words(svg: ElementTree.Element) -> dict[str, set[str]]:
    """Return what a band's names say, each with its classes; a number that stands alone is left out."""
    names = [text for text in svg.iter("text") if "name" in text.get("class", "") and len(text) > 1]
    return {
        "".join(text.itertext()): {one for part in (text, text[1]) for one in part.get("class", "").split()}
        for text in names
    }


def ticks(svg: ElementTree.Element) -> list[tuple[float, float, float]]:
    """Return where each tick of the limits stands, in hundredths of the width, and its two heights on the strip."""
    found = list[tuple[float, float, float]]()
    for drawn in [path.get("d", "") for path in svg.iter("path") if path.get("class") == "tie"]:
        for start, edge, out, end in re.findall(r"M([\d.]+) (-?\d+)v(-?\d+)(?:H([\d.]+))?", drawn):
            heights = sorted((int(edge), int(edge) + int(out)))
            found += [(round(float(x) / 10, 2), heights[0], heights[1]) for x in (start, end) if x]
    return found


def test_ticks_of_a_new_form_hang_below_the_strip_and_those_of_an_old_one_stand_above_it() -> None:
    svg = band(OLD, NEW)
    strip = next(one for one in svg.iter("svg") if one is not svg)
    foot = float(strip.get("height", ""))
    turn = STRIP.share(on(1968, 12, 31)) * 100
    assert {y for x, *ends in ticks(svg) for y in ends if x < turn} == {foot, foot + 5}
    assert {y for x, *ends in ticks(svg) for y in ends if x > turn} == {-5, 0}


def test_ticks_stand_at_the_limits() -> None:
    expected = sorted(
        STRIP.share(day, after=after) * 100
        for day, after in (
            (on(1968, 12, 1), False),
            (on(1968, 12, 11), False),
            (on(1969, 1, 1), True),
            (on(1969, 1, 31), True),
        )
    )
    assert sorted(x for x, _, _ in ticks(band(OLD, NEW))) == pytest.approx(expected, abs=0.01)


def test_an_end_that_nobody_states_has_no_ticks_and_no_date() -> None:
    vague = DrawnSpell("Toggles", OLD.first, NEW.first, starts=False, last_says="x", last_is_stated=False)
    svg = band(vague, NEW)
    assert [x for x, _, _ in ticks(svg)] == pytest.approx([STRIP.share(day) * 100 for day in NEW.first], abs=0.01)
    assert not any(text.text == "x" for text in svg.iter("text"))


def test_a_stoppage_breaks_the_strip_and_only_where_cars_were_built() -> None:
    assert sum(path.get("class") == "not" for path in band(OLD, NEW).iter("path")) == 1
    late = DrawnSpell("Late", (on(1970, 9, 1), on(1970, 9, 1)), (on(1971, 12, 31), on(1971, 12, 31)))
    assert sum(path.get("class") == "not" for path in band(late).iter("path")) == 0


def test_names_that_have_no_room_are_left_out() -> None:
    short = DrawnSpell(
        "A very long name for so short a time", (on(1968, 12, 1), on(1968, 12, 1)), (on(1969, 1, 1), on(1969, 1, 1))
    )
    names = words(band(OLD, short, NEW))
    assert f"1 {short.name}" not in names
    assert "1 Rockers" in names


def test_a_name_is_left_out_only_where_it_has_no_room() -> None:
    first, middle, last = (
        DrawnSpell(name, (start, start), (end, end))
        for name, start, end in (
            ("Toggles", on(1968, 1, 1), on(1968, 6, 30)),
            ("Toggles with signs", on(1968, 7, 1), on(1969, 8, 31)),
            ("Rockers", on(1969, 9, 1), on(1971, 12, 31)),
        )
    )
    for row, kept_from in ((False, {"not-phone"}), (True, {"not-phone", "not-desk", "not-paper"})):
        found = words(band(first, middle, last, row=row))
        assert found["1 Toggles with signs"] == {"name"} | kept_from
        assert found["1 Rockers"] == {"name"}


def test_a_stack_tells_whether_a_phone_shows_all_its_names() -> None:
    early = DrawnSpell("Toggles", OLD.first, (on(1969, 12, 31), on(1969, 12, 31)), starts=False)
    late = DrawnSpell("Rockers", (on(1970, 5, 1), on(1970, 5, 1)), NEW.last, ends=False)
    assert names_fit(STRIP, (early, late))
    assert words(band(early, late, row=True)) == {"1 Toggles": {"name"}, "1 Rockers": {"name"}}
    assert not names_fit(STRIP, (early, DrawnSpell("Rockers, flat and black", late.first, late.last)))


def test_it_is_named_for_those_who_cannot_see_it_and_carries_no_style() -> None:
    svg = band(OLD, NEW)
    assert (svg.get("role"), svg.get("aria-label")) == ("img", "Switches")
    assert "style=" not in render_band(STRIP, (OLD, NEW), "Switches")
    assert 'aria-hidden="true"' in render_axis(STRIP)


def test_years_stand_once_for_a_stack() -> None:
    assert not [text for text in band(OLD, NEW, row=True).iter("text") if "year" in text.get("class", "")]
    axis = ElementTree.fromstring(render_axis(STRIP))
    years = [text.text for text in axis.iter("text") if "year" in text.get("class", "")]
    assert years == ["1968", "1969", "1970", "1971"]
    assert sum(line.get("class") == "year-tick" for line in axis.iter("line")) == 3, "none at the strip's own end"


def test_along_numbers_the_strip_is_named_by_the_cars_and_one_car_can_be_the_change() -> None:
    """Of 1,200 cars the first with the new form is the 590th and the last with the old one the 598th."""
    along = Strip(0, 1199, marks=(("S001", 0), ("S500", 499), ("S1000", 999)))
    old = DrawnSpell("Round", (0, 0), (597, 597), starts=False, last_says="S598")
    new = DrawnSpell("Square", (589, 589), (1199, 1199), ends=False, first_says="S590")
    svg = ElementTree.fromstring(render_band(along, (old, new), "Lamp"))
    ((foot, top),) = slopes(svg)
    assert (foot, top) == pytest.approx((589 / 1200 * 1000, 598 / 1200 * 1000), abs=0.1)
    assert [text.text for text in svg.iter("text") if "period" in text.get("class", "")] == ["S001", "S500", "S1000"]
    assert labels(svg) == [("S590", "end"), ("S598", "start")]
    assert along.below < STRIP.below, "no row of years"


def labels(svg: ElementTree.Element) -> list[tuple[str, str]]:
    return [
        (text.text or "", text.get("text-anchor", "start"))
        for text in svg.iter("text")
        if "date" in text.get("class", "")
    ]


def test_the_earlier_date_stands_left_of_the_change() -> None:
    assert labels(band(OLD, NEW)) == [("December 1968", "end"), ("January 1969", "start")]
    early = DrawnSpell(
        "Toggles", OLD.first, (on(1968, 9, 1), on(1968, 9, 30)), starts=False, last_says="September 1968"
    )
    assert labels(band(early, NEW)) == [("September 1968", "end"), ("December 1968", "start")]


def test_one_date_for_both_is_printed_once() -> None:
    same = DrawnSpell("Toggles", OLD.first, NEW.first, starts=False, last_says="December 1968")
    assert labels(band(same, NEW)) == [("December 1968", "start")]


def test_a_form_that_a_stoppage_parts_is_numbered_on_either_side_and_named_on_the_longer() -> None:
    svg = band(OLD, NEW, row=True)  # both are numbered 1 here
    said = ["".join(text.itertext()) for text in svg.iter("text")]
    assert [words.split()[-1] for words in said] == ["Toggles", "Rockers", "1"], (
        "its number alone, as the other side has it"
    )

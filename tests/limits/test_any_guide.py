"""Whatever is stated, limits come out, their steps add up, and what stands can stand together."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import networkx
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from guide.facts.types import CarNumber, ChangedTogether, Form, FormRef, Guide, Scope, Series, Statement, When, WhenKind
from guide.limits.build import ORIGIN
from guide.limits.derive import derive_limits
from guide.limits.edges import limits_json
from guide.limits.moments import Moments
from guide.limits.positions import series_lines
from guide.limits.solve import pose, solve
from tests.limits import sketch
from tests.limits.sketch import HERE, by_end, car, closure, form, mark, on, run, say, stray
from tests.told import ENGLISH

FIRST, LAST = date(1960, 1, 1), date(1960, 12, 31)
MARKS = ("m", "n")
HANDS = {"hand": sketch.split("hand", {"right": {}, "left": {}})}
SUFFIXES = {"L": Scope((("hand", ("left",)),))}

SERIES: list[Series] = [
    sketch.series(
        [run(1001, 1300), run(1301, 1320, built=False), run(1321, 1600)],
        [by_end(on("1960-03"), car(1100), 1), by_end(on("1960-06-30"), car(1300), 2)],
        out_of_order=4,
        suffixes=SUFFIXES,
        strays=(stray(car(1050), on("1960-10-10")),),
    ),
    sketch.series(
        [run(501, 640, prefix="D")],
        [sketch.first_of(on("1960-05-01"), car(501, "d", prefix="D"))],
        id="d",
        name="Open",
        body="open car",
        written=("D###",),
        out_of_order=2,
        suffixes=SUFFIXES,
    ),
]


def numbers() -> st.SearchStrategy[CarNumber]:
    coupes = st.one_of(st.integers(1001, 1300), st.integers(1321, 1600))
    suffix = st.sampled_from(["", "L"])
    return st.one_of(
        st.builds(lambda number, end: car(number, suffix=end), coupes, suffix),
        st.builds(lambda number, end: car(number, "d", end, "D"), st.integers(501, 640), suffix),
    )


@st.composite
def moments(draw: st.DrawFn) -> When:
    kind = draw(st.sampled_from(["car", "car", "date", "start", "end"]))
    if kind == "car":
        number = draw(numbers())
        return When(
            WhenKind.CAR,
            number.written,
            HERE,
            car=number,
            cars_after=draw(st.sampled_from([0, 0, 0, -1, 40])),
            cars_slack=draw(st.sampled_from([0, 0, 0, 10])),
        )
    if kind == "date":
        low = FIRST + timedelta(days=draw(st.integers(0, 360)))
        high = low + timedelta(days=draw(st.integers(0, 60)))
        cut = draw(st.sampled_from(["both", "both", "low", "high"]))
        return When(WhenKind.DATE, "some day", HERE, None if cut == "high" else low, None if cut == "low" else high)
    return When(WhenKind(kind), kind, HERE, of=draw(st.sampled_from([None, "d", "c"])))


@st.composite
def stated(draw: st.DrawFn) -> Statement:
    owner = draw(st.sampled_from(MARKS))
    kind = draw(st.sampled_from(["first", "first", "last", "last", "seen", "seen", "before", "after", "together with"]))
    more: dict[str, Any] = {
        "form": draw(st.sampled_from("abc")),
        "mark": owner,
        "line": draw(st.integers(2, 99)),
        "source": draw(st.sampled_from(["bulletin", "list", "register", "letter", "nobody"])),
        "scope": draw(st.sampled_from([Scope(), Scope(), Scope((("hand", ("left",)),)), Scope((("series", ("d",)),))])),
    }
    if kind in ("before", "after", "together with"):
        return say(kind, other=FormRef(draw(st.sampled_from(MARKS)), draw(st.sampled_from("abc"))), **more)
    if kind == "last":
        more["old_stock_cars"] = draw(st.sampled_from([None, None, 30]))
    return say(kind, draw(moments()), **more)


@st.composite
def guides(draw: st.DrawFn) -> Guide:
    said = draw(st.lists(stated(), max_size=14))
    forms: list[Form] = [form("a"), form("b"), form("c")]
    marks = [
        mark(
            [one for one in said if one.mark == name and FormRef(name, one.form) != one.other],
            ("a", "b", "c"),
            forms,
            name,
        )
        for name in MARKS
    ]
    together = draw(st.booleans())
    declared = ChangedTogether(name="it", forms=(FormRef("m", "b"), FormRef("n", "b")), source="list", place=HERE)
    return sketch.guide(
        marks,
        SERIES,
        sketch.production(FIRST.isoformat(), LAST.isoformat(), made=720),
        splits=HANDS,
        closures=(closure("1960-06-25", "1960-07-20"), closure("1960-09-01", "1960-09-03", ("c",))),
        changed_together=(declared,) if together else (),
    )


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(guides())
def test_limits_hold_for_whatever_is_stated(guide: Guide) -> None:
    result = derive_limits(guide)
    assert result == derive_limits(guide)
    for spell in result.spells:
        for one in (spell.first, spell.last):
            assert one.earliest <= one.latest
            assert sum(step.ticks for step in one.because_earliest) == one.earliest
            assert sum(step.ticks for step in one.because_latest) == one.latest
    for clash in result.clashes:
        if clash.standing == "clash":
            assert sum(step.ticks for step in clash.chain) < 0
    assert len(limits_json(result, ENGLISH)) == len(result.spells)


@settings(deadline=None, max_examples=40, suppress_health_check=[HealthCheck.too_slow])
@given(guides())
def test_what_stands_is_as_networkx_has_it_and_what_does_not_cannot(guide: Guide) -> None:
    problem = pose(Moments(guide, series_lines(guide)))
    solved = solve(problem)
    graph = networkx.DiGraph()
    for tie in solved.network.ties:
        known = graph.get_edge_data(tie.tail, tie.head, {"weight": tie.weight})["weight"]
        graph.add_edge(tie.tail, tie.head, weight=min(known, tie.weight))
    forward = networkx.single_source_bellman_ford_path_length(graph, ORIGIN)
    backward = networkx.single_source_bellman_ford_path_length(graph.reverse(), ORIGIN)
    for ends in problem.builder.ends.values():
        for point in (ends.first, ends.last):
            assert solved.latest_of(point) == forward[point]
            assert solved.earliest_of(point) == -backward[point]
    for refused in solved.refused:
        assert not solved.network.copy().insert(refused.claim.ties)


def test_statements_in_another_order_give_the_same_limits_where_nothing_clashes(guide: Guide) -> None:
    """The demo guide's marks with their statements turned round: the limits are the statements', not the order's."""
    turned = {
        one.id: replace(
            one,
            statements=one.statements[::-1],
            rulings=tuple(
                replace(ruling, statement=len(one.statements) - 1 - ruling.statement) for ruling in one.rulings
            ),
        )
        for one in guide.marks.values()
    }
    there = derive_limits(guide).spells
    back = derive_limits(replace(guide, marks=turned)).spells
    assert [(one.first.earliest, one.first.latest, one.last.earliest, one.last.latest) for one in there] == [
        (one.first.earliest, one.first.latest, one.last.earliest, one.last.latest) for one in back
    ]

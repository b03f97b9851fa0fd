"""From a folder to a guide: what statements, rulings, forms and the rest become, and the demo against its page."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from guide.constants import CONSTANTS
from guide.facts.read import GuideRead, read_guide
from guide.facts.records.handbook_tables import WHENS, describe_fields
from guide.facts.records.rulings import name_of
from guide.facts.types import FittedAs, FormRef, Guide, Mark, Scope, StatementKind, Trust, When, WhenKind
from guide.finding import Place
from tests.told import ENGLISH
from tests.whens import read_when

SMALL = Path(__file__).parent / "small"
LEFT, RIGHT = (Scope((("hand", (hand,)),)) for hand in ("left", "right"))


def with_mark(tmp_path: Path, mark: str, **files: str) -> GuideRead:
    content = shutil.copytree(SMALL, tmp_path / "content")
    (content / "marks" / "switches.yml").write_text(mark, encoding="utf-8")
    for name, text in files.items():
        (content / f"{name}.yml").write_text(text, encoding="utf-8")
    return read_guide(content)


def the_mark(tmp_path: Path, mark: str) -> Mark:
    reading = with_mark(tmp_path, mark)
    assert [finding.printed(ENGLISH) for finding in reading.findings] == []
    assert reading.guide is not None
    return reading.guide.marks["switches"]


HEAD = """\
name: Small switches
question: What do the small switches look like?
look: The row below the dials.
reach: glass
survives: most
"""
FORMS = """\
forms:
  toggle: {name: Toggles, answer: Round metal toggles, stated: [%s]}
  rocker: {name: Rockers, answer: Flat black rockers, stated: [%s]}
"""


def test_a_change_is_a_last_and_a_first_in_one_place(tmp_path: Path) -> None:
    mark = the_mark(
        tmp_path,
        HEAD
        + FORMS % ("", "")
        + "changes:\n  - {from: toggle, to: rocker, at: C1841, source: bulletin-7, for: left, share: half}\n",
    )
    last, first = mark.statements
    assert (last.kind, last.form, first.kind, first.form) == (
        StatementKind.LAST,
        "toggle",
        StatementKind.FIRST,
        "rocker",
    )
    assert last.when is not None
    assert first.when is not None
    assert last.when.car is not None
    assert (last.when.car.written, last.when.cars_after, first.when.cars_after) == ("C1841", -1, 0)
    assert (
        (last.scope, last.share, last.place)
        == (first.scope, first.share, first.place)
        == (LEFT, 0.5, Place("marks/switches.yml", 10, 5))
    )


@pytest.mark.parametrize("stated", ["stated:\n    stated: [LINE]", "stated: [LINE]\n    stated:"])
def test_a_line_pasted_where_the_key_was_left_empty_brings_no_second_key(tmp_path: Path, stated: str) -> None:
    """A suggestion brings its own `stated:`; one that stands there with nothing after it is no second word."""
    given = "name: Toggles\n    answer: Round metal toggles\n    " + stated.replace("LINE", "{last: 1968-05}")
    mark = the_mark(
        tmp_path, f"{HEAD}forms:\n  toggle:\n    {given}\n  rocker: {{name: Rockers, answer: Flat rockers}}\n"
    )
    assert [one.when.text for one in mark.statements if one.when] == ["1968-05"]


def test_a_list_of_whens_is_a_statement_for_each(tmp_path: Path) -> None:
    mark = the_mark(
        tmp_path,
        HEAD
        + FORMS
        % (
            "{seen: [C1822, C2210L], source: ledger}",
            "{first: C1841, last: C2900, source: ledger, the last ever: yes}",
        ),
    )
    assert [(one.kind, one.when and one.when.text, one.place.column, one.superlative) for one in mark.statements] == [
        (StatementKind.SEEN, "C1822", 73, False),
        (StatementKind.SEEN, "C2210L", 80, False),
        (StatementKind.FIRST, "C1841", 72, False),
        (StatementKind.LAST, "C2900", 85, True),
    ]


def test_a_statement_keeps_everything_said_of_it(tmp_path: Path) -> None:
    mark = the_mark(
        tmp_path,
        HEAD
        + FORMS
        % (
            '{last: about 200 cars after C1840, for: {hand: left}, source: bulletin-7, page: 3, printed: "C1804", '
            "share: 4 in 10, old stock: at most 60 cars, note: in pencil}",
            "{together with: toggle, source: ledger}",
        ),
    )
    last, together = mark.statements
    assert last.when is not None
    assert (last.when.kind, last.when.cars_after, last.when.cars_slack) == (WhenKind.CAR, 200, 50)
    assert (last.scope, last.page, last.printed, last.share, last.old_stock_cars, last.note) == (
        LEFT,
        "3",
        "C1804",
        0.4,
        60,
        "in pencil",
    )
    assert (together.kind, together.when, together.other) == (
        StatementKind.TOGETHER,
        None,
        FormRef("switches", "toggle", 1),
    )


def test_a_ruling_finds_its_statement_however_the_number_is_spaced(tmp_path: Path) -> None:
    mark = the_mark(
        tmp_path,
        HEAD + FORMS % ("{last: C1840, source: bulletin-7}", "{first: 1968-05~, source: ledger}") + "rulings:\n"
        "  - {read: bulletin-7 last car c 1840, as: {for: {hand: right}, last: C1842}, why: as said, on: 2026-11-25}\n"
        "  - {set aside: ledger first 1968-05~, why: a guess, on: 25 November 2026}\n",
    )
    read, aside = mark.rulings
    assert (read.statement, read.sets_aside, read.read_scope, read.why, read.on) == (
        0,
        False,
        RIGHT,
        "as said",
        date(2026, 11, 25),
    )
    assert read.read_when is not None
    assert read.read_when.car is not None
    assert read.read_when.car.written == "C1842"
    assert (aside.statement, aside.sets_aside, aside.read_scope, aside.read_when) == (1, True, None, None)


@pytest.mark.parametrize("told", ["form: rocker", "said for: {hand: left}"])
def test_two_statements_named_alike_are_told_apart(tmp_path: Path, told: str) -> None:
    mark = the_mark(
        tmp_path,
        HEAD
        + FORMS % ("{first: C1840, source: ledger}", "{first: C1840, source: ledger, for: {hand: left}}")
        + f"rulings: [{{set aside: ledger first C1840, {told}, why: so, on: 2026-11-25}}]\n",
    )
    assert [ruling.statement for ruling in mark.rulings] == [1]


def test_a_form_that_returns_has_spells_in_order(tmp_path: Path) -> None:
    mark = the_mark(
        tmp_path,
        HEAD
        + """\
order: [toggle, rocker, toggle]
forms:
  toggle:
    name: Toggles
    answer: Round metal toggles
    for: {hand: left}
    spells:
      - stated: [{last: C1840, source: bulletin-7}]
      - {for: {series: coupe}, share: 1 in 3, stated: [{first: C2000, source: bulletin-7}]}
  rocker: {name: Rockers, answer: Flat black rockers}
""",
    )
    assert mark.order == (
        FormRef("switches", "toggle", 1),
        FormRef("switches", "rocker", 1),
        FormRef("switches", "toggle", 2),
    )
    first, second = mark.forms["toggle"].spells
    assert (first.number, first.scope, first.share) == (1, LEFT, None)
    assert (second.number, second.scope, second.share) == (
        2,
        Scope((("hand", ("left",)), ("series", ("coupe",)))),
        1 / 3,
    )
    assert [(one.form, one.spell, one.kind) for one in mark.statements] == [
        ("toggle", 1, StatementKind.LAST),
        ("toggle", 2, StatementKind.FIRST),
    ]


def test_a_form_says_how_it_comes_to_be_on_a_car(tmp_path: Path) -> None:
    mark = the_mark(
        tmp_path,
        HEAD
        + """\
forms:
  toggle: {name: Toggles, answer: Round metal toggles, fitted as: [factory, service part]}
  rocker:
    name: Rockers
    answer: Flat black rockers
    fitted as: {option: yes, service part: {from: 1975, in place of: toggle, share: 40 %, source: ledger, note: sold}}
  copy: {name: Copies, answer: Rockers with a shine, fitted as: reproduction}
""",
    )
    toggle, rocker, copy = mark.forms.values()
    assert [fitting.kind for fitting in toggle.fitted_as] == [FittedAs.FACTORY, FittedAs.SERVICE_PART]
    option, part = rocker.fitted_as
    assert option.kind is FittedAs.OPTION
    assert part.first is not None
    assert (part.first.earliest, part.in_place_of, part.share, part.source, part.note) == (
        date(1975, 1, 1),
        ("toggle",),
        0.4,
        "ledger",
        "sold",
    )
    assert (toggle.is_option, rocker.is_option, copy.dates_a_car, copy.spells) == (False, True, False, ())
    assert [form.picture for form in mark.forms.values()] == [
        "switches-toggle.svg",
        "switches-rocker.svg",
        "switches-copy.svg",
    ]


def test_a_mark_may_state_its_survival_as_a_share_and_the_guide_its_own_words(tmp_path: Path) -> None:
    half = HEAD.replace("survives: most", "survives: 3 in 4")
    assert the_mark(tmp_path / "a", half + FORMS % ("", "")).survives_share == 0.75
    reading = with_mark(
        tmp_path / "b",
        HEAD + FORMS % ("", ""),
        guide=(SMALL / "guide.yml").read_text(encoding="utf-8") + "defaults: {survives most: 0.7}\n",
    )
    assert reading.guide is not None
    assert reading.guide.overrides == {"survives_most": 0.7}
    assert reading.guide.marks["switches"].survives_share == 0.7


def test_a_mark_file_that_cannot_be_read_does_not_make_the_rest_dangle(tmp_path: Path) -> None:
    reading = with_mark(tmp_path, "name: Small: switches\n")
    assert [finding.code for finding in reading.findings] == ["colon-in-text"]
    assert reading.guide is not None
    assert reading.guide.marks == {}


def test_sources_that_cannot_be_read_do_not_make_every_statement_dangle(tmp_path: Path) -> None:
    mark = (SMALL / "marks/switches.yml").read_text(encoding="utf-8")
    reading = with_mark(tmp_path, mark, sources="ledger: {name: Works ledger\n")
    assert {finding.place.file for finding in reading.findings} == {"sources.yml"}


def test_splits_may_be_a_list_or_have_names_and_settle_one_another(guide: Guide, tmp_path: Path) -> None:
    assert guide.splits["market"].values["continent"].settles == {"hand": "left"}
    reading = with_mark(tmp_path, HEAD + FORMS % ("", ""))
    assert reading.guide is not None
    hand = reading.guide.splits["hand"]
    assert [(value.id, value.name) for value in hand.values.values()] == [("right", "right"), ("left", "left")]


def test_the_demo_is_read_without_error_or_warning(reading: GuideRead) -> None:
    assert [finding.printed(ENGLISH) for finding in reading.findings if finding.severity != "note"] == []


def test_the_demo_is_the_car_of_its_page(guide: Guide) -> None:
    """The figures of the demo's own description: 4,870 cars, 33 marks, two rulings, five periods, eight interiors."""
    assert (guide.production.first, guide.production.last, guide.production.made) == (
        date(1967, 4, 10),
        date(1972, 10, 20),
        4870,
    )
    built = {
        series.id: sum((run.last or 0) - run.first + 1 for run in series.runs if run.built)
        for series in guide.series.values()
    }
    assert built == {"coupe": 3214, "open": 1656}
    assert (len(guide.marks), len(guide.periods), len(guide.interiors), len(guide.closures)) == (33, 5, 8, 7)
    assert sum(period.cars or 0 for period in guide.periods.values()) == 4870
    ruled = [(mark, mark.statements[ruling.statement]) for mark in guide.marks.values() for ruling in mark.rulings]
    assert [(mark.id, name_of(statement)) for mark, statement in ruled] == [
        ("tail-lamps", "parts-list-2 first D780"),
        ("switches", "bulletin-7 last C1840"),
    ]
    assert {source.trust for source in guide.sources.values()} == set(Trust)
    assert [series.out_of_order for series in guide.series.values()] == [20, 12]


def test_marks_stand_in_walking_order(guide: Guide) -> None:
    assert list(guide.marks) == [mark for area in guide.areas.values() for mark in area.marks]
    assert all(guide.marks[mark].area == area.id for area in guide.areas.values() for mark in area.marks)


def test_every_key_is_described_for_editors() -> None:
    text = describe_fields(ENGLISH)
    for key in ("`survives` (needed)", "`the last ever`", "`built by`", "`only if`", "`seen on`", "`set aside`"):
        assert key in text
    assert all(line.count("|") - line.count("\\|") == 4 for line in text.splitlines() if line.startswith("| `"))


def test_every_example_of_a_when_means_what_its_edtf_means(guide: Guide) -> None:
    names = [*guide.periods, *guide.series]
    for typed, edtf, means in WHENS:
        when = read_when(typed, series=guide.series, names=names, model_years=())
        assert isinstance(when, When), when
        assert means
        if edtf:
            same = read_when(edtf, series=guide.series, names=names)
            assert isinstance(same, When)
            assert (when.earliest, when.latest, when.approximate, when.uncertain) == (
                same.earliest,
                same.latest,
                same.approximate,
                same.uncertain,
            )


def test_every_default_of_this_stage_says_where_it_is_from() -> None:
    names = [name for name in CONSTANTS if name.startswith(("about_", "survives_"))]
    assert len(names) == 13
    assert all(CONSTANTS[name].source and CONSTANTS[name].unit for name in names)

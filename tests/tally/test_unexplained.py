"""Cars that fit nothing, and cars alike that no specification explains."""

from __future__ import annotations

import pathlib
import shutil
from typing import Any

from guide.command.work import work_out
from guide.dating.key import Key
from guide.facts.types import CarSeen, Guide, Report
from guide.finding import Place
from guide.pages.parts.masked import audience
from guide.tally.count import derive_tally
from guide.tally.report import EDITOR, Audience, report
from guide.tally.unexplained import alike_cars
from guide.words.say import load_words
from tests.conftest import CONTENT

HERE = Place("cars-seen/a.csv", 2)


def car(number: int, *reports: tuple[str, str]) -> tuple[CarSeen, list[Report]]:
    """Return a car, every part of it looked at, with the parts that stand apart."""
    marks = ("dials", "switches", "belts", "seat-facing", "door-card")
    odd = dict(reports)
    found = [Report(mark=mark, forms=(odd.get(mark, "usual"),), kind="form", place=HERE) for mark in marks]
    seen = CarSeen(
        id=f"a-{number}", car=None, number_text="", failure=None, reports=tuple(found), looks=(HERE,), place=HERE
    )
    return seen, [report for report in found if report.mark in odd]


def test_cars_alike_beyond_chance_are_one_group(guide: Guide) -> None:
    """Four of sixty have both oddities, and no other has either; three others have one each, by chance."""
    both = [car(at, ("dials", "amber"), ("switches", "keys")) for at in range(4)]
    others = [car(at) for at in range(4, 58)] + [car(58, ("dials", "amber")), car(59, ("belts", "net"))]
    (group,) = alike_cars(guide, [*both, *others])
    assert [one.id for one in group.cars] == ["a-0", "a-1", "a-2", "a-3"]
    assert group.forms == {"dials": "amber", "switches": "keys"}
    assert group.chance < 0.001


def test_what_chance_brings_together_and_what_one_job_renews_is_no_group(guide: Guide) -> None:
    often = [car(at, ("dials", "amber")) if at % 2 else car(at, ("switches", "keys")) for at in range(40)]
    both = [car(at, ("dials", "amber"), ("switches", "keys")) for at in range(40, 44)]
    assert alike_cars(guide, [*often, *both]) == ()
    trimmed = [car(at, ("seat-facing", "narrow"), ("door-card", "pocket")) for at in range(5)]
    assert alike_cars(guide, [*trimmed, *(car(at) for at in range(5, 60))]) == ()


def test_the_demo_s_odd_cars_are_named_with_what_would_make_them_fit(limits: Any, model: Any) -> None:
    """C1561 was re-trimmed; D744 has a later top and belts; CX4, of before production, fits no rule."""
    found = {one.car.number_text: (one.way, one.renewed) for one in derive_tally(limits, Key(model)).unfit}
    assert found["C1561"] == ("renewed", "a re-trim")
    assert found["D744"][0] == found["CX4"][0] == "changed"
    assert "C2210L" not in found


def test_a_car_without_a_number_that_fits_nothing_is_named_to_the_editor_alone(tmp_path: pathlib.Path) -> None:
    """An early car in all but its dials, its seats and its horn; a sheet may be called after who noted it."""
    content = tmp_path / "content"
    shutil.copytree(CONTENT, content, ignore=shutil.ignore_patterns("cars-seen", "pictures", "*.jpg"))
    shutil.copytree(CONTENT / "pictures", content / "pictures")
    (content / "cars-seen").mkdir()
    rows = ["car,hand,market,interior,bonnet-badge,wiper-rest,filler-cap,steering-wheel,switches,stalk,horn-push,dials"]
    rows += [",right,home,black-vinyl,enamel,rest-left,snap,thin-rim,toggle,ivory,padded,orange"]
    (content / "cars-seen" / "bloggs.csv").write_text("\n".join(rows), encoding="utf-8")
    worked = work_out(content)
    assert worked.limits is not None
    tally = derive_tally(worked.limits, worked.key)
    (one,) = tally.unfit
    assert {report.mark for report in one.apart} == {"horn-push", "dials"}
    words, guide = load_words("en"), worked.limits.moments.guide

    def told(shown: Audience, stated: Any) -> str:
        sections = report(tally, shown, stated)
        return " ".join(words.tell(line.says) for section in sections for line in section.lines)

    assert "The car without a number (`bloggs-1`) has Horn button" in told(EDITOR, [])
    for public in (audience(guide), Audience(str, whole=True)):
        assert "A car without a number has Horn button" in told(public, None)
        assert "bloggs" not in told(public, None)

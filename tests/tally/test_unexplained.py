"""Cars that fit nothing, and cars alike that no specification explains."""

from __future__ import annotations

import pathlib
import shutil
from dataclasses import replace
from typing import Any

import pytest

from guide.command.work import work_out
from guide.dating.key import Key
from guide.facts.types import CarSeen, Guide, Report
from guide.finding import Place
from guide.pages.parts.masked import audience
from guide.tally.count import Tally, derive_tally
from guide.tally.report import EDITOR, Audience, report
from guide.tally.unexplained import alike_cars
from guide.words.say import load_words
from tests.benchmarks.guides import SIZES, write_guide
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


EARLY = """
    bonnet-badge=enamel outside-mirror=wing door-handles=button filler-cap=snap tail-lamps=round stalk=ivory
    steering-wheel=thin-rim horn-push=plain dials=bright-rim switches=toggle dash-facing=crackle glove-latch=knob
    demister-vents=two inside-mirror=bright-back seat-facing=wide sun-visors=single courtesy-lamp=single gear-knob=ball
    tunnel-tray=open handbrake-grip=ribbed door-card=plain window-winder=bright inner-lever=loop kick-panel=board
    maker-plate=etched
"""
LATE = """
    bonnet-badge=foil outside-mirror=door-black door-handles=lift filler-cap=screw tail-lamps=oblong-reverse
    steering-wheel=thick-rim horn-push=padded dials=orange switches=symbols stalk=black-symbol dash-facing=moulded
    glove-latch=push demister-vents=four inside-mirror=breakaway seat-facing=weave sun-visors=pair courtesy-lamp=pair
    gear-knob=pear tunnel-tray=lidded handbrake-grip=smooth door-card=pocket window-winder=black inner-lever=paddle
    kick-panel=covered maker-plate=label
"""
ODD = {"horn-push", "dials", "stalk", "glove-latch", "demister-vents", "filler-cap", "inner-lever", "maker-plate"}
OTHERS = {
    "bonnet-badge",
    "outside-mirror",
    "door-handles",
    "tail-lamps",
    "handbrake-grip",
    "window-winder",
    "courtesy-lamp",
}


def forms_of(said: str) -> dict[str, str]:
    """Return the forms by mark."""
    return dict(one.split("=", 1) for one in said.split())


@pytest.fixture(scope="module")
def seen(tmp_path_factory: pytest.TempPathFactory) -> Tally:
    """The tally of some early cars of the demo: forty as they were built, and five that are not."""
    content = tmp_path_factory.mktemp("guide") / "content"
    shutil.copytree(CONTENT, content, ignore=shutil.ignore_patterns("cars-seen", "pictures", "*.jpg"))
    shutil.copytree(CONTENT / "pictures", content / "pictures")
    (content / "cars-seen").mkdir()
    early, late = forms_of(EARLY), forms_of(LATE)
    job = {"seat-facing", "door-card", "kick-panel", "tunnel-tray"}
    cars: dict[str, set[str]] = {f"C{1030 + 4 * at}": set() for at in range(40)}
    cars |= {"C1201": set(late), "C1203": ODD, "C1207": job, "C1209": {"sun-visors", "gear-knob"}, "": OTHERS}
    rows = [["car", "hand", "market", "interior", *early]]
    for number, odd in cars.items():
        rows.append(
            [number, "right", "home", "black-vinyl", *((late if mark in odd else early)[mark] for mark in early)]
        )
    (content / "cars-seen" / "bloggs.csv").write_text("\n".join(map(",".join, rows)), encoding="utf-8")
    worked = work_out(content)
    assert worked.limits is not None
    return derive_tally(worked.limits, worked.key)


def test_a_car_is_named_for_more_odd_parts_than_chance_brings(seen: Tally) -> None:
    """Two parts of 25 that were changed since are nothing strange on one of 45 cars."""
    found = {one.car.number_text: (one.way, one.renewed, {report.mark for report in one.apart}) for one in seen.unfit}
    assert {number: told[:2] for number, told in found.items()} == {
        "C1201": ("number", ""),
        "C1203": ("changed", ""),
        "C1207": ("renewed", "a re-trim"),
        "": ("changed", ""),
    }
    assert found["C1203"][2] == ODD


def test_of_the_demo_s_cars_one_fits_nothing_and_of_a_large_guide_s_none_that_lost_parts_one_by_one(
    limits: Any, model: Any, tmp_path: pathlib.Path
) -> None:
    """C1561 was re-trimmed. D744 has a later window and later belts, and others have two such parts: chance would bring
    as many on several of 53 cars."""
    (one,) = derive_tally(limits, Key(model)).unfit
    assert (one.car.number_text, one.way, one.renewed) == ("C1561", "renewed", "a re-trim")
    write_guide(tmp_path / "large", replace(SIZES["S"], marks=40, forms=120))
    worked = work_out(tmp_path / "large")
    assert worked.limits is not None
    tally = derive_tally(worked.limits, worked.key)
    assert tally.cars > 70
    assert tally.unfit == ()


def test_a_car_without_a_number_that_fits_nothing_is_named_to_the_editor_alone(seen: Tally) -> None:
    """An early car in all but seven parts; a sheet may be called after who noted it."""
    words, guide = load_words("en"), seen.limits.moments.guide

    def told(shown: Audience, stated: Any) -> str:
        sections = report(seen, shown, stated)
        return " ".join(words.tell(line.says) for section in sections for line in section.lines)

    assert "The car without a number (`bloggs-45`) has " in told(EDITOR, [])
    for public in (audience(guide), Audience(str, whole=True)):
        assert "A car without a number has " in told(public, None)
        assert "bloggs" not in told(public, None)

"""A season of 200 invented cars from six people over the demo, with every untidiness: `python -m tests.tally.season`.

The truth is drawn within what the demo leaves open: when each form really changed in each kind of car, which of these
parts each car still has. Of half of the parts the papers are then lost: the guide that the season meets is the demo
without what is stated of them. Six people note what they see, misreading some, each in the way of such people: the
key's CSV and its JSON, a club's spreadsheet with a title and headings of its own, one saved in windows-1252 with `?`
and `n/a`, one with tabs and numbers spelt freely, and one handed in twice. What the tally then suggests is pasted, and
the limits are held against the truth. Nothing is edited by hand.
"""

from __future__ import annotations

import json
import pathlib
import random
import re
import shutil
import sys
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cache
from typing import Any

from guide.command.tally import tally_json
from guide.command.work import work_out
from guide.dating.building.askable import replacement_habits
from guide.facts.read import read_guide
from guide.facts.text.csv_tables import write_csv
from guide.facts.types import Guide, Scope
from guide.limits.courses import Course, courses_of, lines_of
from guide.limits.derive import derive_limits
from guide.limits.scopes import Dimensions
from guide.limits.types import LimitsResult, day_of
from guide.tally.count import derive_tally
from tests.conftest import CONTENT
from tests.tally.pasting import paste, suggested_by
from tests.tally.variant import Named, named_together, plant_variant
from tests.told import ENGLISH

__all__ = ["FEWER", "Outcome", "draw_truth", "play", "wrong_limits"]

_NOTICED, _MISREAD, _SKIPPED, _UNTOUCHED = 0.4, 0.02, 0.15, 0.35
FEWER = {"horn-push": 0.35, "door-handles": 0.3}  # marks that survive otherwise than the demo has it


@dataclass
class InventedCar:
    """A car with its true position, kind, and what it has of each mark today: the form, and whether it is its own."""

    series: str
    position: int
    number: str
    kind: dict[str, str]
    untouched: bool
    parts: dict[str, tuple[str, bool]] = field(default_factory=dict)


@dataclass
class Truth:
    """When forms changed: by mark, form and spell, in each course and series, the true first and last position."""

    firsts: dict[tuple[str, str, int, Scope, str], int] = field(default_factory=dict)
    lasts: dict[tuple[str, str, int, Scope, str], int] = field(default_factory=dict)


@dataclass(frozen=True)
class Outcome:
    """What became of a season."""

    errors: int
    lines: int
    cars: int
    there: int
    set_aside: int
    pasted: int
    survivals: dict[str, float]
    narrower: int
    days: int
    wrong: tuple[str, ...]
    planted: frozenset[str]  # numbers of the cars of an undocumented variant
    unexplained: tuple[Named, ...]


def draw_truth(limits: LimitsResult, chance: random.Random) -> Truth:
    truth, origin = Truth(), limits.moments.guide.production.first
    for mark in limits.moments.guide.marks.values():
        for course in courses_of(limits, mark):
            for line in lines_of(limits, course):
                series, before = line.series.id, 0
                for at, spell in enumerate(course.spells):
                    key = (mark.id, spell.form, spell.spell, course.scope, series)

                    def drawn(end: str, least: int, spell: Any = spell, line: Any = line, series: str = series) -> int:
                        known = spell.by_number(end, series)
                        ticks = spell.first if end == "first" else spell.last
                        low, high = day_of(ticks.earliest, origin), day_of(ticks.latest, origin)
                        places = [p for p in range(line.cars) if low <= line.day_at(p) <= high] or [0]
                        first = places[0] if known.low is None else max(known.low, 0)
                        last = places[-1] if known.high is None else known.high
                        return max(least, chance.randint(first, max(first, last)))

                    if at:
                        before = truth.firsts[key] = drawn("first", before)
                        old = course.spells[at - 1]
                        old_key = (mark.id, old.form, old.spell, course.scope, series)
                        known = old.by_number("last", series)
                        least = before - 1 if known.low is None else max(before - 1, known.low)
                        truth.lasts[old_key] = least
                    else:
                        truth.firsts[key] = 0
                if course.spells:
                    last = course.spells[-1]
                    truth.lasts[mark.id, last.form, last.spell, course.scope, series] = line.cars - 1
    return truth


def _built_form(truth: Truth, course: Course, car: InventedCar, chance: random.Random) -> str | None:
    for scope in (course.scope,):
        could = [
            spell.form
            for spell in course.spells
            if truth.firsts.get((course.mark.id, spell.form, spell.spell, scope, car.series), 10**9)
            <= car.position
            <= truth.lasts.get((course.mark.id, spell.form, spell.spell, scope, car.series), -1)
        ]
        return chance.choice(could) if could else None
    return None


def _draw_cars(limits: LimitsResult, truth: Truth, chance: random.Random, many: int) -> list[InventedCar]:
    guide, dimensions, cars = limits.moments.guide, Dimensions(limits.moments.guide), []
    lines = list(limits.lines.values())
    places = chance.sample([(line, at) for line in lines for at in range(line.cars)], many)
    for line, position in places:
        day = line.day_at(position)
        abroad = ["continent"] + (["north-america"] if date(1968, 9, 1) <= day <= date(1971, 7, 31) else [])
        market = chance.choice(["home", "home", *abroad])
        hand = "right" if market == "home" else "left"
        number = line.car_at(position, "L" if hand == "left" else "").written
        interiors = [
            one.id
            for one in guide.interiors.values()
            if dimensions.close(Scope((("interior", (one.id,)), ("series", (line.series.id,)))))
        ]
        kind = {"series": line.series.id, "hand": hand, "market": market, "interior": chance.choice(interiors)}
        cars.append(InventedCar(line.series.id, position, number, kind, chance.random() < _UNTOUCHED))
    for mark in guide.marks.values():
        habits, forms = replacement_habits(mark, guide.overrides), list(mark.forms)
        share = FEWER.get(mark.id, mark.survives_share)
        for course in courses_of(limits, mark):
            if len(course.spells) < 2:
                continue
            for car in cars:
                if mark.id in car.parts or not (mark.scope.holds(car.kind) and _is_of(course, car)):
                    continue
                built = _built_form(truth, course, car, chance)
                if built is None:
                    continue
                own = car.untouched or chance.random() < share
                weights = habits[forms.index(built)] if habits else [1.0] * len(forms)
                car.parts[mark.id] = (built if own else chance.choices(forms, weights)[0], own)
    return cars


def _is_of(course: Course, car: InventedCar) -> bool:
    return any(scope.holds(car.kind) for scope in (course.scope, *course.also))


def _noted(guide: Guide, car: InventedCar, chance: random.Random) -> dict[str, str]:
    """Return what one person writes of each mark of a car."""
    said: dict[str, str] = {}
    for mark, (form, own) in car.parts.items():
        if chance.random() < _SKIPPED:
            continue
        forms = list(guide.marks[mark].forms)
        if not own and chance.random() < _NOTICED:
            said[mark] = chance.choice(["changed", f"{form} not own"])
        elif chance.random() < _MISREAD and len(forms) > 1:
            said[mark] = chance.choice([one for one in forms if one != form])
        else:
            said[mark] = form
    return said


def _looks(
    guide: Guide, cars: list[InventedCar], chance: random.Random
) -> dict[int, list[tuple[InventedCar, str, dict[str, str]]]]:
    """Return by person what each noted: the car, the number as read, and the answers."""
    looks: dict[int, list[tuple[InventedCar, str, dict[str, str]]]] = {person: [] for person in range(6)}
    for car in cars:
        for person in chance.sample(range(6), chance.choice([1, 1, 1, 2])):
            number = car.number
            if chance.random() < 0.01:  # read wrongly
                at = chance.randrange(1, len(number.rstrip("L")))
                number = number[:at] + str((int(number[at]) + chance.randint(1, 9)) % 10) + number[at + 1 :]
            looks[person].append((car, number, _noted(guide, car, chance)))
    return looks


def _write(guide: Guide, folder: pathlib.Path, cars: list[InventedCar], chance: random.Random) -> int:
    """Write the sheets of six people; return how many lines about cars."""
    looks, marks = _looks(guide, cars, chance), list(guide.marks)
    day = date(2026, 5, 1)

    def row(car: InventedCar, number: str, said: Mapping[str, str], when: str) -> list[str]:
        return [number, "yes" if car.untouched else "", when, *(said.get(mark, "") for mark in marks)]

    plain = ["car", "untouched", "seen on", *marks]
    sheet = [plain, *(row(car, number, said, (day + timedelta(1)).isoformat()) for car, number, said in looks[0])]
    (folder / "phone.csv").write_bytes(write_csv(sheet))
    notes = [
        {
            "car": number,
            "seen": "2026-05-10",
            "untouched": car.untouched,
            "remarks": "",
            "edition": "autumn 2026",
            "reach": ["outside", "glass"],
            "answers": {
                mark: answer.removesuffix(" not own") for mark, answer in said.items() if "not own" not in answer
            },
        }
        for car, number, said in looks[1]
    ]
    (folder / "phone.json").write_text(json.dumps({"format": 1, "edition": "autumn 2026", "cars": notes}, indent=1))
    names = [guide.marks[mark].name for mark in marks]
    rows = [["Tern Register, the season of 2026"], [""], ["Chassis no.", "All original", "Date seen", *names, "Hand"]]
    rows += [[*row(car, number, said, "17/05/2026"), car.kind["hand"].capitalize()] for car, number, said in looks[2]]
    (folder / "club.csv").write_text("\ufeff" + "".join(";".join(one) + "\r\n" for one in rows), encoding="utf-8")
    rows = [["car", "untouched", "seen on", *marks, "remarks"]]
    for car, number, said in looks[3]:
        line = row(car, number, said, "2026-05-24")
        for at in range(3, len(line)):
            unsure = ["?", "n/a", "ring/bar"] if line[at] == "" else [f"{line[at]}/{line[at]}?"]
            line[at] = chance.choice(unsure) if chance.random() < 0.05 else line[at]
        rows.append([*line, "Vu à Besançon, café"])
    (folder / "abroad.csv").write_bytes("\r\n".join(",".join(one) for one in rows).encode("cp1252"))
    freely = [
        row(car, f" {number[0].lower()} {number[1:].replace('L', '-l')}", said, "2026-06-06")
        for car, number, said in looks[4]
    ]
    (folder / "tabs.csv").write_text("\n".join("\t".join(one) for one in [plain, *freely]), encoding="utf-8")
    rows = [plain, *(row(car, number, said, "2026-06-14") for car, number, said in looks[5])]
    twin = looks[5][0]
    other = {mark: chance.choice(list(guide.marks[mark].forms)) for mark in twin[2]}
    rows.append(row(twin[0], twin[1], other, "2026-06-14"))  # another car with this number, on the same day
    text = "sep=;\n" + "\n".join(";".join(one) for one in rows)
    (folder / "last.csv").write_text(text, encoding="utf-8")
    (folder / "last (1).csv").write_text(text, encoding="utf-8")
    return sum(map(len, looks.values())) + 1


def _lose_papers(content: pathlib.Path, chance: random.Random) -> set[str]:
    """Take all that is stated of half of the marks on which nothing was ruled out of their files; return which."""
    paths = [
        path
        for path in sorted((content / "marks").glob("*.yml"))
        if not re.search(r"^(rulings|changes|spells|    spells):", path.read_text(encoding="utf-8"), re.MULTILINE)
    ]
    lost = chance.sample(paths, len(paths) // 2)
    for path in lost:
        text = re.sub(r"(?m)^    stated:\n(      .*\n)+", "", path.read_text(encoding="utf-8"))
        path.write_text(text, encoding="utf-8")
    return {path.stem for path in lost}


def wrong_limits(limits: LimitsResult, truth: Truth) -> Iterator[str]:
    """Yield the firsts and lasts that limits do not allow to be where they truly are."""
    origin = limits.moments.guide.production.first
    for mark in limits.moments.guide.marks.values():
        for spell in (one for one in limits.spells if one.mark == mark.id):
            for places, end in ((truth.firsts, "first"), (truth.lasts, "last")):
                for (of, form, number, scope, series), place in places.items():
                    if (of, form, number) != (mark.id, spell.form, spell.spell) or not spell.scope.within(scope):
                        continue
                    if spell.scope.values("series") and series not in (spell.scope.values("series") or ()):
                        continue
                    edges = spell.first if end == "first" else spell.last
                    first, last = limits.lines[series].days_at(place)
                    low, high = day_of(edges.earliest, origin), day_of(edges.latest, origin)
                    if (last < low and end == "last") or (first > high and end == "first"):
                        yield f"{mark.id} {form} {end} in {series}: {first} to {last}, limits {low} to {high}"


def _limits_of(content: pathlib.Path) -> LimitsResult:
    guide = read_guide(content).guide
    assert guide is not None
    return derive_limits(guide)


def _copy_demo(content: pathlib.Path) -> None:
    shutil.copytree(CONTENT, content, ignore=shutil.ignore_patterns("cars-seen", "pictures"))
    shutil.copytree(CONTENT / "pictures", content / "pictures", ignore=shutil.ignore_patterns("*.jpg"))


@cache
def _whole() -> LimitsResult:
    """Return the demo's limits without its own cars seen, with all its papers."""
    with tempfile.TemporaryDirectory() as place:
        _copy_demo(pathlib.Path(place, "content"))
        return _limits_of(pathlib.Path(place, "content"))


def play(seed: int, many: int = 200, *, variant: bool = False) -> Outcome:
    """Play one season over a copy of the demo without its own cars seen; paste all that is suggested.

    With ``variant``, some cars are alike in two parts as no specification has them.
    """
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as place:
        content = pathlib.Path(place, "content")
        _copy_demo(content)
        whole = _whole()
        truth = draw_truth(whole, chance)
        cars = _draw_cars(whole, truth, chance, many)
        lost = _lose_papers(content, chance)
        marks = whole.moments.guide.marks.keys() - lost
        planted = plant_variant(whole, cars, marks, random.Random(f"variant {seed}")) if variant else frozenset()
        before = _limits_of(content)
        (content / "cars-seen").mkdir()
        lines = _write(before.moments.guide, content / "cars-seen", cars, chance)
        with_cars = work_out(content)
        assert with_cars.limits is not None
        tally = derive_tally(with_cars.limits, with_cars.key)
        said = tally_json(tally, ENGLISH)
        paste(content, suggested_by(tally))
        after = work_out(content)
        assert after.limits is not None
        codes = [finding.code for finding in after.findings]
        already = set(wrong_limits(before, truth))
        narrower, days = 0, 0
        for new in after.limits.spells:
            old = next(
                one
                for one in before.spells
                if (one.mark, one.form, one.spell) == (new.mark, new.form, new.spell) and new.scope.within(one.scope)
            )
            for end in ("first", "last"):
                was, now = getattr(old, end), getattr(new, end)
                gained = (now.earliest - was.earliest) + (was.latest - now.latest)
                narrower += gained > 0
                days += max(0, gained) >> 20
        return Outcome(
            errors=sum(str(finding.severity) == "error" for finding in (*with_cars.findings, *after.findings)),
            lines=lines,
            cars=said["cars"],
            there=many + 1,
            set_aside=codes.count("set-aside"),
            pasted=sum(one["form"] is not None for one in said["suggested"]),
            survivals={
                one["file"][6:-4]: float(one["paste"].split()[1]) for one in said["suggested"] if one["form"] is None
            },
            narrower=narrower,
            days=days,
            wrong=tuple(sorted(set(wrong_limits(after.limits, truth)) - already)),
            planted=planted,
            unexplained=named_together(tally),
        )


def print_season(seed: int) -> None:
    """Print the figures of a season, and how an undocumented variant in the same season fares."""
    one, other = play(seed), play(seed, variant=True)
    print(f"season {seed}: {one.lines} lines of {one.there} cars, counted as {one.cars}; {one.errors} errors,")
    print(f"  {one.set_aside} cells set aside with the right word; {one.pasted} lines pasted, with which")
    print(f"  {one.narrower} limits are narrower, by {one.days} days in all, and {len(one.wrong)} wrong; their own:")
    print(f"  {one.survivals}, where in truth {FEWER};")
    print(f"  without a variant {len(one.unexplained)} groups named; with one of {len(other.planted)} cars:")
    for cars, rare in other.unexplained:
        planted, others = len(cars & other.planted), len(cars - other.planted)
        print(f"    {planted} of them named together, {others} besides that were noted with both too, by {rare:.1e}")
    print(f"    {len(other.unexplained)} groups named, {len(other.wrong)} limits wrong")
    for wrong in (*one.wrong, *other.wrong):
        print(f"    {wrong}")


if __name__ == "__main__":
    for seed in map(int, sys.argv[1:] or ("1", "2", "3")):
        print_season(seed)

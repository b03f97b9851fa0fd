"""The demo guide keeps its tables: what the Larkhythe Tern is said to be, and that its facts agree.

The tables here are typed from the description of the invented car and not computed from the content, so
that a slip in either shows. Published figures in the care notes are held against the publication.
"""

from __future__ import annotations

import itertools
import pathlib
import re
from collections import Counter
from datetime import date
from typing import Any

import pytest
import yaml

from guide.constants import CONSTANTS
from guide.facts.records.rulings import name_of
from guide.facts.types import CountKind, Guide, NumberFailure
from guide.finding import Severity
from guide.limits.positions import series_lines
from tests.told import ENGLISH

CONTENT = pathlib.Path(__file__).resolve().parents[2] / "content"
TEXTS = sorted(path for path in CONTENT.rglob("*") if path.suffix in (".yml", ".md", ".csv"))
assert TEXTS, "no content found"

FORMS = {
    "bonnet-badge": "enamel foil enamel-remade",
    "front-lamps": "clear split amber",
    "wiper-rest": "rest-left rest-right",
    "outside-mirror": "wing door-bright door-black",
    "door-handles": "button lift",
    "soft-top-window": "sewn zip",
    "filler-cap": "snap screw locking",
    "tail-lamps": "round oblong oblong-reverse",
    "switches": "toggle rocker symbols",
    "dials": "bright-rim black-rim orange",
    "horn-push": "plain crest padded",
    "dash-facing": "crackle moulded veneer",
    "glove-latch": "knob push",
    "stalk": "ivory black-plain black-symbol",
    "inside-mirror": "bright-back breakaway black-back",
    "seat-facing": "wide narrow weave",
    "belts": "static reel reel-later",
    "gear-knob": "ball pear wood",
    "pedal-rubbers": "monogram dimpled",
    "sun-visors": "single pair",
    "steering-wheel": "thin-rim thick-rim wood-rim",
    "demister-vents": "two four",
    "door-card": "plain pocket piped",
    "window-winder": "bright black",
    "inner-lever": "loop paddle",
    "courtesy-lamp": "single pair",
    "handbrake-grip": "ribbed smooth",
    "seat-lever": "wire knob",
    "kick-panel": "board covered",
    "luggage-strap": "leather webbing leather-remade",
    "tunnel-tray": "open lidded",
    "maker-plate": "etched printed label etched-remade",
    "washer-bottle": "bag bottle",
}
REACH = {
    "outside": "bonnet-badge front-lamps wiper-rest outside-mirror door-handles soft-top-window filler-cap tail-lamps",
    "glass": "switches dials horn-push dash-facing inside-mirror seat-facing gear-knob sun-visors "
    "steering-wheel demister-vents courtesy-lamp handbrake-grip tunnel-tray",
    "door": "glove-latch stalk belts door-card window-winder inner-lever kick-panel luggage-strap",
    "seat": "pedal-rubbers seat-lever",
    "bonnet": "maker-plate washer-bottle",
}
SURVIVES = {
    "nearly all": "inner-lever demister-vents seat-lever courtesy-lamp wiper-rest dash-facing glove-latch",
    "half": "window-winder gear-knob steering-wheel belts pedal-rubbers outside-mirror bonnet-badge",
    "few": "soft-top-window",
}
PERIODS = {  # first day, last day, coupés, open cars
    "launch": (date(1967, 4, 10), date(1967, 10, 31), 328, 0),
    "early": (date(1967, 11, 1), date(1968, 12, 31), 974, 92),
    "middle": (date(1969, 1, 1), date(1970, 2, 2), 598, 418),
    "restart": (date(1970, 4, 27), date(1971, 7, 30), 710, 570),
    "last": (date(1971, 8, 16), date(1972, 10, 20), 604, 576),
}
INTERIORS = {
    "black-vinyl": 2000,
    "tan-vinyl": 1150,
    "red-vinyl": 400,
    "black-leather": 420,
    "tan-leather": 240,
    "herringbone": 60,
    "tan-cloth": 400,
    "black-cloth": 200,
}
ODD_CARS = "C1702 C1822 C2210L C2309 C2341 C2477 C2933 D834 C2588L C2610 C3046 D744 CX4"
NOT_SPOKEN_OF = (  # parts this guide leaves alone
    "door seal",
    "weatherstrip",
    "armrest",
    "arm rest",
    "ashtray",
    "coin tray",
    "radio",
    "heater panel",
    "heater legend",
    "pull strap",
    "headlining",
    "carpet",
    "instrument hood",
)


def test_the_reader_has_nothing_to_put_right(reading: Any) -> None:
    serious = [finding.printed(ENGLISH) for finding in reading.findings if finding.severity is not Severity.NOTE]
    assert serious == []


def test_thirty_three_marks_have_their_eighty_five_forms(guide: Guide) -> None:
    assert {mark.id: " ".join(mark.forms) for mark in guide.marks.values()} == FORMS
    assert (len(FORMS), sum(len(forms.split()) for forms in FORMS.values())) == (33, 85)


def test_marks_say_how_close_one_must_get(guide: Guide) -> None:
    assert {mark.id: str(mark.reach) for mark in guide.marks.values()} == {
        mark: reach for reach, marks in REACH.items() for mark in marks.split()
    }


def test_marks_say_how_many_cars_still_have_their_own(guide: Guide) -> None:
    stated = {mark: word for word, marks in SURVIVES.items() for mark in marks.split()}
    shares = {word: CONSTANTS[f"survives_{word.replace(' ', '_')}"].value for word in (*SURVIVES, "most")}
    assert {mark.id: mark.survives_share for mark in guide.marks.values()} == {
        mark: shares[stated.get(mark, "most")] for mark in FORMS
    }


def test_the_walk_goes_once_round_the_car_and_ends_under_the_bonnet(guide: Guide) -> None:
    assert list(guide.areas) == ["front", "sides", "rear", "dash", "cabin", "bonnet"]
    walk = [mark for area in guide.areas.values() for mark in area.marks]
    assert sorted(walk) == sorted(FORMS)
    assert list(guide.marks) == walk


def test_the_calendar_gives_each_period_its_cars(guide: Guide) -> None:
    lines = series_lines(guide)

    def built(series: str, period: str) -> int:
        first, last, *_ = PERIODS[period]
        before = lines[series].cars_by(date.fromordinal(first.toordinal() - 1))
        return round(lines[series].cars_by(last) - before)

    assert {
        period: (guide.periods[period].first, guide.periods[period].last, built("coupe", period), built("open", period))
        for period in guide.periods
    } == PERIODS
    totals = [coupes + opens for *_, coupes, opens in PERIODS.values()]
    assert totals == [328, 1066, 1016, 1280, 1180]
    assert [period.cars for period in guide.periods.values()] == totals
    assert sum(totals) == guide.production.made == lines["coupe"].cars + lines["open"].cars == 4870


def test_the_built_counts_of_a_mark_add_up_to_the_cars_that_could_have_it(guide: Guide) -> None:
    cars = {"coupe": 3214, "open": 1656}
    for mark in guide.marks.values():
        could = sum(cars[series] for series in mark.scope.values("series") or cars)
        stated = sum(
            count.about
            for form in mark.forms.values()
            if form.dates_a_car
            for count in form.counts
            if count.kind is CountKind.BUILT
        )
        assert stated == pytest.approx(could, abs=12), mark.id


def test_shares_of_interiors_give_about_the_cars_that_are_counted(guide: Guide) -> None:
    lines = series_lines(guide)
    reckoned: dict[str, float] = {}
    for interior in guide.interiors.values():
        if interior.share is None:
            continue
        cars = 0.0
        for span in interior.spans:
            for series in span.scope.values("series") or tuple(lines):
                cars += _cars_between(lines[series], span.first, span.last)
        reckoned[interior.id] = interior.share * cars
    reckoned["black-vinyl"] = 4870 - sum(reckoned.values())
    built = {
        interior.id: count.about
        for interior in guide.interiors.values()
        for count in interior.counts
        if count.kind is CountKind.BUILT
    }
    assert built == INTERIORS
    assert reckoned == {interior: pytest.approx(about, rel=0.03) for interior, about in INTERIORS.items()}


def _cars_between(line: Any, first: Any, last: Any) -> float:
    """Return how many cars of a series lie from one stated moment to another."""
    begin = 0.0
    if first.car is not None:
        begin = line.position(first.car)
    elif first.earliest is not None:
        begin = line.cars_by(date.fromordinal(first.earliest.toordinal() - 1))
    end = float(line.cars)
    if last.car is not None:
        end = line.position(last.car) + 1
    elif last.latest is not None:
        end = line.cars_by(last.latest)
    return end - begin


def test_herringbone_is_counted_three_ways_and_none_is_taken_for_another(guide: Guide) -> None:
    counts = {str(count.kind): (count.about, str(count.sure)) for count in guide.interiors["herringbone"].counts}
    assert counts == {"ordered": (80, "good"), "built": (60, "poor"), "surviving": (9, "fair")}


def test_only_two_statements_are_ruled_on(guide: Guide) -> None:
    rulings = [
        (mark.id, name_of(mark.statements[ruling.statement]))
        for mark in guide.marks.values()
        for ruling in mark.rulings
    ]
    assert sorted(rulings) == [("switches", "bulletin-7 last C1840"), ("tail-lamps", "parts-list-2 first D780")]


def test_the_two_contradictions_are_the_only_ones_and_both_are_ruled(limits: Any) -> None:
    clashes = {(clash.mark, clash.short_by_days, clash.ruled) for clash in limits.clashes}
    assert clashes == {("switches", 154, 0), ("tail-lamps", 63, 0)}
    assert [finding.printed(ENGLISH) for finding in limits.findings if finding.severity is not Severity.NOTE] == []


def test_what_changed_and_what_is_renewed_together_is_said(guide: Guide) -> None:
    together = {frozenset(f"{ref.mark}/{ref.form}" for ref in one.forms) for one in guide.changed_together}
    restart = {"dash-facing/moulded", "demister-vents/four", "inner-lever/paddle"}
    facelift = {
        "tail-lamps/oblong-reverse",
        "switches/symbols",
        "horn-push/padded",
        "stalk/black-symbol",
        "handbrake-grip/smooth",
        "maker-plate/label",
    }
    assert together == {
        frozenset({"door-card/pocket", "washer-bottle/bottle"}),
        frozenset(restart | {"inside-mirror/breakaway", "belts/reel"}),
        frozenset(restart),
        frozenset(facelift | {"front-lamps/split"}),  # on the continent these were split from the first
        frozenset(facelift),
    }
    [renewed] = guide.renewed_together
    assert set(renewed.marks) == {"seat-facing", "door-card", "kick-panel", "tunnel-tray"}
    assert renewed.share == pytest.approx(1 / 6)


def test_every_source_is_described_and_says_where_it_is_held(guide: Guide) -> None:
    assert len(guide.sources) == 25
    assert [source.id for source in guide.sources.values() if len(source.about) < 60 or not source.held] == []


def test_every_mark_and_form_has_all_its_words(guide: Guide) -> None:
    bare = [
        mark.id
        for mark in guide.marks.values()
        if not (mark.about and mark.taken_for and mark.wear and mark.to_be_had and mark.also)
    ]
    bare += [
        f"{mark.id}/{form.id}" for mark in guide.marks.values() for form in mark.forms.values() if not form.describes
    ]
    assert bare == []


def test_what_a_phone_shows_is_short(guide: Guide) -> None:
    long = [mark.look for mark in guide.marks.values() if len(mark.look) > 90]
    long += [form.answer for mark in guide.marks.values() for form in mark.forms.values() if len(form.answer) > 45]
    assert long == []


def test_what_can_hurt_carries_its_caution(guide: Guide) -> None:
    assert "Never refit old belts" in guide.marks["belts"].caution
    assert "stay" in guide.marks["maker-plate"].caution
    assert "Disconnect the battery" in guide.marks["switches"].caution
    assert [note.id for note in guide.care.values() if not note.cautions] == []
    assert not guide.marks["maker-plate"].ask


def test_care_notes_say_cause_prevention_and_repair(guide: Guide) -> None:
    assert len(guide.care) >= 8
    bare = [note.id for note in guide.care.values() if not (note.cause and note.prevention and note.repair)]
    assert bare == []


def test_the_battery_table_is_the_published_one(guide: Guide) -> None:
    """Specific gravity and freezing point in degrees Fahrenheit: US Army OD1002. Celsius is worked out."""
    published = {"1.280": -90, "1.250": -62, "1.200": -16, "1.150": 5, "1.100": 19, "1.000": 32}
    note = guide.care["battery-in-storage"]
    _, *rows = note.table
    typed = [[cell.replace("−", "-") for cell in row] for row in rows]
    assert {gravity: int(fahrenheit) for gravity, _, fahrenheit, _ in typed} == published
    for _, _, fahrenheit, celsius in typed:
        assert int(celsius) == round((int(fahrenheit) - 32) * 5 / 9)
    cited = " ".join(note.sources)
    assert all(source in cited for source in ("OD1002", "INDG139", "1910.178(g)"))


def test_sixty_words_and_more_have_american_and_two_german_ones(guide: Guide) -> None:
    assert len(guide.words) >= 60
    assert [word.id for word in guide.words.values() if not word.german or not word.means] == []
    assert sum(len(word.german) >= 2 and bool(word.american) for word in guide.words.values()) >= 60


def test_the_cars_seen_hold_the_odd_ones(guide: Guide) -> None:
    seen = Counter(car.number_text for car in guide.cars_seen)
    assert len(guide.cars_seen) >= 26
    assert set(ODD_CARS.split()) <= set(seen)
    assert {number: times for number, times in seen.items() if times > 1} == {"C2477": 2}
    failures = {car.number_text: car.failure for car in guide.cars_seen if car.failure is not None}
    assert failures == {"C2933": NumberFailure.NEVER_BUILT, "CX4": NumberFailure.OUTSIDE}


def test_odd_cars_are_reported_as_they_were_found(guide: Guide) -> None:
    def found(number: str, mark: str) -> str:
        [car] = [car for car in guide.cars_seen if car.number_text == number]
        return "+".join(next(report.forms for report in car.reports if report.mark == mark))

    assert found("C1702", "switches") == "rocker"
    assert found("C1822", "switches") == found("C2210L", "switches") == "toggle"
    assert found("C2309", "kick-panel") == "board"
    assert found("C2341", "dials") == "bright-rim+black-rim"
    assert found("D834", "tail-lamps") == "round"
    assert found("C2588L", "wiper-rest") == "rest-right"
    assert found("C2610", "dash-facing") == "veneer"
    leftovers = [found("C3046", mark) for mark in ("washer-bottle", "filler-cap", "window-winder")]
    assert leftovers == ["bag", "snap", "bright"]
    assert [found("D744", mark) for mark in ("soft-top-window", "belts")] == ["zip", "reel"]


def test_nothing_is_said_of_parts_left_alone() -> None:
    said = [
        (path.name, word)
        for path in TEXTS
        for word in NOT_SPOKEN_OF
        if word in re.sub(r"\s+", " ", path.read_text(encoding="utf-8")).casefold()
    ]
    assert said == []


def _sentences(value: object) -> list[str]:
    if isinstance(value, dict):
        return [one for key, inner in value.items() if key != "describes" for one in _sentences(inner)]
    if isinstance(value, list):
        return [one for inner in value for one in _sentences(inner)]
    if not isinstance(value, str):
        return []
    return [one.strip() for one in re.split(r"(?<=[.!?:])\s+", re.sub(r"\s+", " ", value))]


def test_no_sentence_is_said_twice() -> None:
    said: dict[str, str] = {}
    twice = []
    for path in TEXTS:
        if path.suffix == ".csv":
            continue
        text = path.read_text(encoding="utf-8")
        for sentence in set(_sentences(yaml.safe_load(text) if path.suffix == ".yml" else text)):
            if len(sentence.split()) >= 6 and said.setdefault(sentence, path.name) != path.name:
                twice.append((sentence, said[sentence], path.name))
    assert twice == []


def test_no_two_marks_ask_the_same_question(guide: Guide) -> None:
    same = [
        (one.id, other.id)
        for one, other in itertools.combinations(guide.marks.values(), 2)
        if one.question == other.question or one.look == other.look
    ]
    assert same == []


def test_what_readers_see_has_the_apostrophes_of_print_and_ids_and_codes_stay_as_typed(guide: Guide) -> None:
    assert guide.marks["maker-plate"].name == "Maker’s plate"
    assert guide.sources["handbook"].name == "Owner’s handbook, second printing"
    assert "'" not in "".join(
        text
        for mark in guide.marks.values()
        for text in (
            mark.name,
            mark.question,
            mark.look,
            *mark.also,
            *(said for form in mark.forms.values() for said in (form.name, form.answer, form.describes)),
        )
    )
    assert "'" in guide.marks["tail-lamps"].wear  # Markdown stays as typed until it is printed

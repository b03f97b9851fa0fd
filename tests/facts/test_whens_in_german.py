"""Dates and amounts as a German guide types them mean what the same ones in English mean, and stay as typed."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from babel import Locale

from guide.facts.read import read_guide
from guide.facts.text.problem import Problem
from guide.facts.types import Text, When
from guide.facts.when.typed import in_english, read_typed
from guide.facts.when.whens import read_when
from guide.finding import Place
from guide.words.say import load_words
from tests.whens import read_when as read_english

SMALL = Path(__file__).parent / "small"
NAMES = ("spaet", "coupe")


def read(typed: str) -> When | Problem:
    return read_typed(
        Text(typed, Place("")), "de-AT", lambda plain: read_when(plain, names=NAMES, model_years=("1972",))
    )


@pytest.mark.parametrize(
    ("german", "english"),
    [
        ("4. Mai 1962", "4 May 1962"),
        ("4.Mai 1962", "4 May 1962"),
        ("am 4. Mai 1962", "4 May 1962"),
        ("4.5.1962", "1962-05-04"),
        ("04. 05. 1962", "1962-05-04"),
        ("5.1962", "1962-05"),
        ("Mai 1962", "May 1962"),
        ("im Mai 1962", "May 1962"),
        ("Jänner 1962", "January 1962"),
        ("Okt. 1962", "October 1962"),
        ("Anfang 1964", "early 1964"),
        ("Mitte Mai 1964", "mid May 1964"),
        ("Ende 1964", "late 1964"),
        ("gegen Ende 1964", "late 1964"),
        ("etwa Mai 1968", "about May 1968"),
        ("ca. Mai 1968", "about May 1968"),
        ("um 1968", "about 1968"),
        ("nach Mai 1968", "after May 1968"),
        ("nach dem 4. Mai 1968", "after 4 May 1968"),
        ("vor dem 4. Mai 1968", "before 4 May 1968"),
        ("bis Ende Juni 1968", "by June 1968"),
        ("bis zum 4. Mai 1968", "by 4 May 1968"),
        ("spätestens Juni 1968", "by June 1968"),
        ("ab Juni 1968", "from June 1968"),
        ("seit Juni 1968", "from June 1968"),
        ("März bis Mai 1968", "March to May 1968"),
        ("von März bis Mai 1968", "March to May 1968"),
        ("zwischen März und Mai 1968", "between March and May 1968"),
        ("Frühjahr 1968", "spring 1968"),
        ("Frühling 1968", "spring 1968"),
        ("Herbst 1968", "autumn 1968"),
        ("Winter 1967/68", "winter 1967/68"),
        ("1960er Jahre", "1960s"),
        ("Mitte der 1960er", "mid 1960s"),
        ("erste Hälfte 1968", "first half of 1968"),
        ("2. Hälfte 1968", "second half of 1968"),
        ("KW 14/1969", "week 14 of 1969"),
        ("14. Woche 1969", "week 14 of 1969"),
        ("wahrscheinlich Mai 1968", "probably May 1968"),
        ("Modelljahr 1972", "model year 1972"),
        ("about May 1968", "about May 1968"),
        ("1968-05", "1968-05"),
        ("Beginn", "start"),
        ("Ende", "end"),
        ("Ende der Fertigung", "end"),
        ("Beginn von spaet", "start of spaet"),
        ("Ende der Periode spaet", "end of spaet"),
    ],
)
def test_a_german_when_means_what_the_english_one_means(german: str, english: str) -> None:
    typed, meant = read(german), read_english(english, names=NAMES, model_years=("1972",))
    assert isinstance(typed, When)
    assert isinstance(meant, When)
    assert typed.text == german
    for name in ("kind", "earliest", "latest", "approximate", "uncertain", "of", "year"):
        assert getattr(typed, name) == getattr(meant, name)


@pytest.mark.parametrize("month", range(1, 13))
@pytest.mark.parametrize("width", ["wide", "abbreviated"])
def test_every_month_is_read_as_published(month: int, width: str) -> None:
    """Source: the calendars of Unicode CLDR, as Babel carries them, for German and for German in Austria."""
    for tag in ("de", "de_AT"):
        name = Locale.parse(tag).months["format"][width][month]
        when = read(f"3. {name} 1968")
        assert isinstance(when, When)
        assert when.earliest == when.latest == date(1968, month, 3)


def test_a_number_of_a_car_is_left_alone() -> None:
    assert in_english("10 Wagen nach C1840", "de") == "10 car after C1840"
    assert in_english("Wagen C1840", "de") == "car C1840"
    assert in_english("der Wagen nach C1840", "de") == "one car after C1840"
    assert in_english("C1840", "de") == "C1840"
    assert in_english("start of vor-umbau", "de") == "start of vor-umbau"


@pytest.mark.parametrize(
    ("german", "english"),
    [
        ("3 Monate", "3 months"),
        ("bis zu 6 Wochen", "up to 6 weeks"),
        ("3 bis 9 Monate", "3 to 9 months"),
        ("höchstens 60 Wagen", "at most 60 cars"),
        ("4 von 10", "4 in 10"),
        ("Hälfte", "half"),
        ("ein halbes Jahr", "half a years"),
        ("ja", "yes"),
    ],
)
def test_a_german_amount_means_what_the_english_one_means(german: str, english: str) -> None:
    assert in_english(german, "de", "amount") == english


def test_what_is_wrong_is_told_of_what_was_typed() -> None:
    problem = read("Mai '68")
    assert isinstance(problem, Problem)
    assert load_words("de").tell(problem.message) == (
        'erwartet wird ein Jahr mit vier Ziffern, gefunden wurde "Mai \'68"'
    )


def test_english_is_read_as_it_was() -> None:
    assert in_english("about May 1968", "en-GB") == "about May 1968"
    assert in_english("Mai 1968", "en-GB") == "Mai 1968"
    assert in_english("some time in March 1968", "en-GB") == "March 1968"


def test_a_german_guide_reads_its_dates(tmp_path: Path) -> None:
    content = tmp_path / "content"
    for path in SMALL.rglob("*.yml"):
        target = content / path.relative_to(SMALL)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(path.read_text(encoding="utf-8"), encoding="utf-8")
    main = content / "guide.yml"
    main.write_text(f"{main.read_text(encoding='utf-8')}\nlanguage: de\nfine enough: 6 Wochen\n", encoding="utf-8")
    reading = read_guide(content)
    assert [load_words("de").tell(one.message) for one in reading.findings if one.code != "repeated-key"] == []

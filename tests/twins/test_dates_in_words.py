"""Dates in words: whatever the terminal takes a browser takes, in every language that there is, as the same days."""

from __future__ import annotations

import json
import random
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from guide.command.ask import read_session
from guide.command.calls import CallIsOff
from guide.dating.model import Model
from guide.words.say import load_words
from tests.dating.loading import load_model
from tests.pages.scripts import evaluate

ABOUT = {"day": 7, "month": 30, "week": 7, "season": 45, "year": 182, "decade": 1826, "century": 9131}
_WORKED = load_model(json.dumps(json.loads(Path(__file__).with_name("three-marks.json").read_text("utf-8"))["model"]))
MODEL = replace(_WORKED, chances=replace(_WORKED.chances, about_days=ABOUT))

DATES = {
    "en": (
        "1968", "1968-03", "1968-02-29", "1967-02-29", "196X", "1968~", "1968-03?", "1968-W14", "1968-21",
        "1968-05/1968-07", "1968/..", "March 1968", "Mar 1968", "Sept. 1968", "12 March 1968", "31 April 1968",
        "3rd of May 1968", "Aug 4, 1968", "spring 1968", "the autumn of 1967", "winter 1967/68", "winter 1967-69",
        "1960s", "the 1960's", "week 14 of 1969", "the 3rd week of 1968", "first half of 1968",
        "the second half of 1968", "the year 1968", "mai 1968", "4/5/1968", "5.1968", "soon", "", "C1840", "1968.",
        "end of May 1968",
    ),
    "de": (
        "1968", "1968-03", "März 1968", "Mär. 1968", "Mai 1968", "im Jänner 1968", "12. März 1968", "4.5.1968",
        "04. 05. 1968", "5.1968", "31. April 1968", "Frühjahr 1968", "Frühling 1968", "Herbst 1967", "Winter 1967/68",
        "1960er Jahre", "KW 14/1969", "14. Woche 1969", "erste Hälfte 1968", "2. Hälfte 1968", "spring 1968",
        "Dez. 1967", "bald", "1968-21", "Sommer des Jahres 1968", "13.13.1968",
    ),
}  # fmt: skip
BEFORE = {
    "en": (
        "", "about ", "c", "ca. ", "by ", "until the end of ", "from ", "before ", "after ", "early ", "mid-",
        "late in ", "probably ", "mid ", "not after about ",
    ),
    "de": (
        "", "etwa ", "ca. ", "bis ", "spätestens ", "ab ", "vor ", "nach dem ", "Anfang ", "Mitte ", "Ende ",
        "gegen Ende ", "wahrscheinlich ", "um ",
    ),
}  # fmt: skip
BETWEEN = {
    "en": ("between {} and {}", "{} to {}", "{} – {}", "from {} until {}"),
    "de": ("zwischen {} und {}", "von {} bis {}"),
}


def in_terminal(model: Model, text: str) -> str | None:
    try:
        return dict(read_session(model, {"known": {"registered": text}}).known)["registered"]
    except CallIsOff:
        return None


def in_browser(node: str, language: str, texts: list[str], about: Mapping[str, int] = ABOUT) -> list[str | None]:
    run = """(() => { const dates = guide.datesInWords.reader(given.words, given.about, given.start);
      return given.texts.map((text) => (guide.days.read(text) ? text : dates(text))); })()"""
    words = dict(load_words(language).templates)
    given = {"words": words, "about": dict(about), "start": MODEL.origin, "texts": texts}
    found: list[str | None] = evaluate(node, "dates_in_words", run, given)
    return found


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_browser_takes_whatever_date_the_terminal_takes(node: str, language: str) -> None:
    dates, chance = DATES[language], random.Random(12)
    texts = [before + date for before in BEFORE[language] for date in dates]
    two = [(chance.choice(dates), chance.choice(dates)) for _ in range(200)]
    texts += [chance.choice(BETWEEN[language]).format(*ends) for ends in two]
    texts += [chance.choice(BEFORE[language]) + text for text in texts[-100:]]
    texts += [text.upper() for text in texts[:200]] + [f"  {text} " for text in texts[:40]]
    model = replace(MODEL, language=language)
    here = [in_terminal(model, text) for text in texts]
    there = in_browser(node, language, texts)
    assert [(text, a, b) for text, a, b in zip(texts, here, there, strict=True) if a != b] == []
    assert len({text for text in here if text}) > 100, "most of them are dates"


@pytest.mark.parametrize(
    ("language", "text", "days"),
    [
        ("en", "spring 1968", "1968-03-01/1968-05-31"),
        ("en", "mid-December 1967", "1967-12-11/1967-12-20"),
        ("en", "late 1967", "1967-09-01/1967-12-31"),
        ("en", "by June 1968", "1967-01-01/1968-06-30"),
        ("en", "about May 1968", "1968-04-01/1968-06-30"),
        ("en", "March 1968", "1968-03"),
        ("en", "the year 1968", "1968"),
        ("en", "12 Mar 1968", "1968-03-12"),
        ("en", "from May 1968", None),
        ("en", "by June 1950", "1950-06-30"),
        ("de", "Frühjahr 1968", "1968-03-01/1968-05-31"),
        ("de", "Mitte Dezember 1967", "1967-12-11/1967-12-20"),
        ("de", "Ende 1967", "1967-09-01/1967-12-31"),
        ("de", "spätestens Juni 1968", "1967-01-01/1968-06-30"),
        ("de", "12. März 1968", "1968-03-12"),
    ],
)
def test_these_days_are_meant(node: str, language: str, text: str, days: str | None) -> None:
    """By hand: a season as EDTF has it, a third of a year or of a month, "about" by the guide's own constants."""
    assert in_terminal(replace(MODEL, language=language), text) == days
    assert in_browser(node, language, [text]) == [days]


def test_about_is_as_wide_as_the_guide_says(node: str) -> None:
    """A club that reckons "about May" to be five days off either way says so, and both take its word."""
    wide = replace(MODEL, chances=replace(MODEL.chances, about_days={"month": 5}))
    assert in_terminal(wide, "about May 1968") == "1968-04-26/1968-06-05"
    assert in_browser(node, "en", ["about May 1968"], wide.chances.about_days) == ["1968-04-26/1968-06-05"]


def test_what_a_language_says_of_dates_is_run_by_old_browsers() -> None:
    """The patterns stand in the words, where no lint of scripts sees them: none looks behind itself."""
    for language in ("en", "de"):
        said = load_words(language).templates["facts.heard.when"]
        assert "(?<" not in said
        assert "(?P" not in said

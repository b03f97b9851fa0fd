"""`letter` in the terminal: whose word every line is, the three depths, a season's letters in one call, and privacy."""

from __future__ import annotations

import json
import pathlib
import re
from typing import Any

import pytest

from guide.command.main import main
from guide.dating.belief.evidence import Answer, Session
from guide.dating.fitted_sentences import fitted_said, trims_of
from guide.dating.key import Key
from guide.dating.output import explained
from guide.facts.types import Guide
from guide.limits.types import LimitsResult
from guide.pages.parts.letter import letter_of
from guide.pages.parts.letter_facts import letter_facts
from guide.pages.parts.letter_lines import DEPTHS, GUIDE, TOLD, WORKED, Letter, by_said
from guide.words.say import load_words
from tests.dating.asking import key_of

SEASON = """# the letters of spring
C1912 switches=rocker tail-lamps=round
C2711 "gear-knob=wood" --known part:belts=1970-03

{"answers": {"switches": "toggle"}, "car": "D744"}
"""
WORDS = load_words("en")


@pytest.fixture
def demo(root: pathlib.Path, built_guide: pathlib.Path) -> list[str]:
    return ["letter", "--content", str(root / "content"), "--out", str(built_guide)]


@pytest.fixture(scope="module")
def facts(guide: Guide, limits: LimitsResult) -> dict[str, Any]:
    return letter_facts(guide, limits, WORDS)


@pytest.fixture(scope="module")
def key(model: Any) -> Key:
    return key_of(model)


def written(key: Key, facts: Any, depth: str = "letter", **session: Any) -> Letter:
    return letter_of(key.dated(Session(**session)), facts, depth)


def said(letter: Letter, section: str) -> list[str]:
    return [WORDS.tell(line.says) for one in letter.sections if one.name == section for line in one.lines]


def test_a_letter_says_what_the_key_and_the_terminal_say(key: Key, facts: Any) -> None:
    session = Session((Answer.of("switches", ["toggle"]),), "C2711")
    dated, letter = key.dated(session), written(key, facts, answers=session.answers, car=session.car)
    assert said(letter, "what")[: len(explained(dated)["sentences"])] == [
        WORDS.tell(one) for one in explained(dated)["sentences"]
    ]
    trims = trims_of(key.model, dated.fitted)
    parts = {key.model.marks[one.mark].name: WORDS.tell(fitted_said(key.model, one, trims)) for one in dated.fitted}
    lines = "\n".join(line for name in ("sure", "likely", "open", "nobody") for line in said(letter, name))
    assert len(parts) > 25
    assert [part for part, forms in parts.items() if f"{part}: {forms}." not in lines] == []
    assert said(letter, "apart")[0] == WORDS.tell(explained(dated)["apart_groups"][0]["says"])


@pytest.mark.parametrize("depth", DEPTHS)
@pytest.mark.parametrize("car", ["C1702", "C2210L", "C2237", "C2933", "D834", "C4314", "CX4", None])
def test_every_line_has_a_source_of_the_guide_or_says_whose_word_it_is(
    key: Key, facts: Any, guide: Guide, depth: str, car: str | None
) -> None:
    answers = (Answer.of("switches", ["toggle"]), Answer.of("interior", ["tan-vinyl"]), Answer("belts", (), "changed"))
    letter = written(key, facts, depth, answers=answers, car=car, known={"part:washer-bottle": "1969-03"})
    lines = [line for section in letter.sections for line in section.lines]
    assert lines
    for line in (one for each in lines for one in (each, *each.more)):
        assert line.by
        assert all(one in (TOLD, WORKED, GUIDE) or one in guide.sources for one in line.by)
        assert re.fullmatch(r"\[.+\]", WORDS.tell(by_said(line, letter.sources)))
        assert WORDS.tell(line.says)[-1] in ".?!”)"


def test_what_is_sure_what_is_likely_and_what_nobody_knows_stand_apart(key: Key, facts: Any) -> None:
    letter = written(key, facts, car="C2237")
    assert "Dials: Bright rims, thin dark pointers." in said(letter, "sure")
    assert any(line.startswith("Glovebox latch: ") for line in said(letter, "nobody")), "of C2237 no paper tells"
    assert any(line.endswith("That hangs on: market.") for line in said(letter, "open"))
    assert said(letter, "shows") == ["Nothing on the car has been looked at."]


def test_a_trim_that_was_seen_is_not_held_to_have_left_the_works(key: Key, facts: Any) -> None:
    letter = written(key, facts, car="C2711", answers=(Answer.of("interior", ["black-leather"]),))
    assert any(line.startswith("Trim: Black vinyl, tan vinyl") for line in said(letter, "nobody"))
    veneer = next(line for one in letter.sections for line in one.lines if "Wood veneer" in WORDS.tell(line.says))
    assert TOLD in veneer.by, "it hangs on what was told of the trim"


@pytest.mark.parametrize(
    ("when", "way"),
    [("1969-08", "That goes with the rest"), ("1970-06", "after the car was built"), ("1967-02", "longer before")],
)
def test_a_date_on_a_part_is_set_beside_the_days_of_the_car(key: Key, facts: Any, when: str, way: str) -> None:
    letter = written(key, facts, car="C2711", known={"part:washer-bottle": when})
    (line,) = said(letter, "shows")
    assert line.startswith("Washer bottle: dated in ")
    assert way in line


def test_whoever_quotes_a_sentence_has_quoted_its_limits(key: Key, facts: Any) -> None:
    (quoted,) = said(written(key, facts, "quote", car="D744", answers=(Answer.of("dials", ["black-rim"]),)), "quote")
    first, looked, *rest = quoted.split(". ")
    assert first.startswith("Larkhythe Tern D744 is believed built between ")
    for limit in ("nine in ten", "on the evidence of the number D744", "if they were built at an even pace", "edition"):
        assert limit in first
    assert looked == "Of one part looked at, none disagrees with that date"
    assert rest[0].endswith("not a certificate, a valuation or a legal identification")


def test_a_restorer_reads_the_right_part_what_only_fits_and_how_it_is_told(key: Key, facts: Any) -> None:
    letter = written(key, facts, "list", car="C1500")
    (badge,) = [line for one in letter.sections for line in one.lines if line.mark == "bonnet-badge" and line.more]
    assert WORDS.tell(badge.says).endswith("Number: T1140. Stamped: T1140 on the back, between the studs.")
    more = [WORDS.tell(line.says) for line in badge.more]
    assert more[0] == "It is remade. How a copy is told: the back is flat and bears no number. As of May 2026."
    assert badge.more[0].by == ("parts-round",)
    assert more[1] == "Fits, but is not right: printed foil under a clear dome (T1386)."
    assert any(line.startswith("Told from “Remade enamel”: Lay a finger across the back edge.") for line in more)


def test_the_terminal_prints_a_letter_and_its_sources(demo: list[str], capsys: Any) -> None:
    assert main([*demo, "C1912", "switches=rocker", "--known", "registered=1968-07"]) == 0
    text = capsys.readouterr().out
    assert text.startswith("Larkhythe Tern C1912\n--------------------\n")
    assert "  First registered: in July 1968. [as told]" in text
    named = {int(n) for by in re.findall(r"\[([^\]]*)\]", " ".join(text.split())) for n in re.findall(r"\d+", by)}
    listed = {int(n) for n in re.findall(r"^  (\d+)\. \S", text, re.MULTILINE)}
    assert named == listed
    assert max(map(len, text.splitlines())) <= 78
    assert main([*demo, "C1912", "--json"]) == 0
    plain = json.loads(capsys.readouterr().out)
    assert list(plain) == ["format", "edition", "fingerprint", "depth", "title", "sections", "sources"]
    assert plain["sections"][1]["lines"][0]["by"] == ["ledger", "worked"]
    assert {frozenset(one) for section in plain["sections"] for one in section["lines"]} == {
        frozenset({"says", "by", "mark", "more"})
    }
    # the mark beside the edition, wherever a page of the site is printed
    assert f"({plain['fingerprint']})" in text.splitlines()[2] + text.splitlines()[3]
    printed = (pathlib.Path(demo[-1]) / "index.html").read_text(encoding="utf-8")
    assert f'data-fingerprint="{plain["fingerprint"]}"' in printed


def test_a_season_s_letters_are_written_in_one_call(demo: list[str], tmp_path: pathlib.Path, capsys: Any) -> None:
    season, out = tmp_path / "season.txt", tmp_path / "letters.html"
    season.write_text(SEASON, encoding="utf-8")
    assert main([*demo, "--many", str(season), "--depth", "quote"]) == 0
    assert re.findall(r"^Larkhythe Tern (\w+)$", capsys.readouterr().out, re.MULTILINE) == ["C1912", "C2711", "D744"]
    assert main([*demo, "--many", str(season), "--to", str(out)]) == 0
    assert capsys.readouterr().out == f"3 letters written to {out}.\n"
    page = out.read_text(encoding="utf-8")
    assert re.findall(r"<h1>([^<]*)</h1>", page) == [f"Larkhythe Tern {car}" for car in ("C1912", "C2711", "D744")]
    assert re.search(r"edition autumn 2026 \([0-9a-f]{8}\)\.", page)
    assert "<script" not in page
    assert "default-src 'none'" in page
    assert not re.search(r"(src|href)=", page), "it asks for nothing"


def test_a_car_of_a_season_may_be_told_in_own_words(demo: list[str], tmp_path: pathlib.Path, capsys: Any) -> None:
    season, said = tmp_path / "season.txt", list[str]()
    for line in ("C1500 switches=toggle", "Small switches: toggles; car C1500"):
        season.write_text(line + "\n", encoding="utf-8")
        assert main([*demo, "--many", str(season)]) == 0
        said.append(capsys.readouterr().out)
    assert said[0] == said[1]


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("C1912 switchs=rocker", "no mark 'switchs'"),
        ("C1912; switchs: rocker", "no mark 'switchs'"),
        ('C1912 "x', "cannot be read"),
        ("--known", "missing after --known"),
    ],
)
def test_a_line_that_is_off_is_told_with_its_place(
    demo: list[str], tmp_path: pathlib.Path, capsys: Any, line: str, what: str
) -> None:
    season = tmp_path / "season.txt"
    season.write_text(f"C1912\n{line}\n", encoding="utf-8")
    assert main([*demo, "--many", str(season)]) == 2
    error = capsys.readouterr().err
    assert error.startswith(f"{season}:2: ")
    assert what in error


def test_a_letter_is_never_put_where_it_would_be_published(demo: list[str], root: pathlib.Path, capsys: Any) -> None:
    for folder in (demo[-1], root / "content"):
        there = pathlib.Path(folder) / "letters.html"
        assert main([*demo, "C1912", "--to", str(there)]) == 2
        assert not there.exists()
        assert "Letters are private" in capsys.readouterr().err


def test_a_call_without_a_car_says_what_to_name(demo: list[str], capsys: Any) -> None:
    assert main(demo) == 2
    assert "Name the car's number" in capsys.readouterr().err.replace("’", "'")


def test_letters_are_whole_in_german(key: Key, guide: Guide, limits: LimitsResult) -> None:
    german = load_words("de")
    letter = letter_of(
        key.dated(Session((Answer.of("dials", ["black-rim"]),), "C2711")), letter_facts(guide, limits, german), "letter"
    )
    headings = [german.say(f"pages.letter.section.{one.name}") for one in letter.sections]
    assert headings[:3] == ["Zuerst: Vorsicht", "Was er ist", "Womit er das Werk verließ: sicher"]
    assert sum(len(one.lines) for one in letter.sections) > 30
    assert all(german.tell(line.says) for one in letter.sections for line in one.lines)

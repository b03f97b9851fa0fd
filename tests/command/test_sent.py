"""`build.py letter --keep` and `build.py sent`: letters are kept in private, and told of when they are wrong since."""

from __future__ import annotations

import json
import pathlib
import re

import pytest

from guide.command.main import main
from guide.facts.records.letters_kept import read_letters
from tests.starting import change, started
from tests.told import ENGLISH

LAMP = "marks/roof-lamp.yml"
LETTERS = "private/letters"


@pytest.fixture
def content(tmp_path: pathlib.Path) -> pathlib.Path:
    return started(tmp_path, {})


def call(capsys: pytest.CaptureFixture[str], content: pathlib.Path, *words: str, status: int = 0) -> str:
    assert main([*words, "--content", str(content), "--out", str(content.parent / "out")]) == status
    return capsys.readouterr().out


def test_a_letter_is_kept_with_all_that_it_said(
    content: pathlib.Path, tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = call(capsys, content, "letter", "S300", "roof-lamp=round", "--keep", "--sent-to", "Rosa Quillfeather")
    season = tmp_path / "season.txt"
    lines = ('S300 --sent-to "Two: of Elmcott"', '{"answers": {"roof-lamp": "square"}}', "Roof lamp: round --sent-to B")
    season.write_text("\n".join(lines), encoding="utf-8")
    call(capsys, content, "letter", "--many", str(season), "--depth", "quote", "--keep")
    letters, found = read_letters(content)
    assert found == ()
    names = [letter.place.file.rpartition("/")[2][11:] for letter in letters]
    assert names == ["car-2.yml", "car.yml", "s300-2.yml", "s300.yml"]
    own_words, nobody, two, first = letters
    assert (own_words.answers, own_words.sent_to) == ("roof-lamp=round", "B")
    assert (first.car, first.answers, first.depth, first.sent_to) == (
        "S300",
        "roof-lamp=round",
        "letter",
        "Rosa Quillfeather",
    )
    assert (first.edition, len(first.fingerprint), str(first.sent)) == ("first", 8, first.place.file[16:26])
    assert first.left_with == {"door-handle": "lever", "roof-lamp": "round"}
    assert f"{first.says}\n" == said, "word for word"
    assert (two.sent_to, two.left_with, len(two.built)) == ("Two: of Elmcott", {}, 1)
    assert (nobody.car, nobody.answers) == ("", "roof-lamp=square")
    assert (content / "private" / ".gitignore").read_text(encoding="utf-8") == "*\n"
    assert "private" not in call(capsys, content, "check")


def test_a_letter_that_would_say_otherwise_is_listed_with_what_and_why(
    content: pathlib.Path, tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call(capsys, content, "letter", "S620", "--keep", "--sent-to", "Rosa Quillfeather")
    call(capsys, content, "letter", "S100", "--keep")
    call(capsys, content, "letter", "S620", "--depth", "quote", "--keep")
    assert call(capsys, content, "sent").startswith(f"3 letters are kept in {LETTERS}/; 0 would say otherwise today.\n")
    call(capsys, content, "publish", str(tmp_path / "to"))
    change(content, "guide.yml", "edition: first", "edition: second")
    change(content, LAMP, "{last: S598, source: parts-list}", "{last: S698, source: parts-list}")
    change(content, LAMP, "{first: S590, source: parts-list}", "{first: S690, source: parts-list}")
    change(content, LAMP, "      - {seen: S612, source: register}       # a car believed untouched\n", "")
    change(content, "marks/door-handle.yml", "{seen: S571,", "{seen: S561,")
    said = call(capsys, content, "sent")
    assert "1 would say otherwise today" in said
    heading = re.search(r"\nS620, \d+ \w+ \d+, a letter, edition first, to Rosa Quillfeather\n((?:  .*\n)+)", said)
    assert heading is not None
    lines = [line.strip() for line in heading[1].splitlines()]
    assert [line for line in lines[:-1] if "was built" not in line] == [
        "Roof lamp: the letter says square; today it would say round.",
        "Since that edition, Roof lamp: Round: the last car moves from S598 to S698. Source: parts list.",
        "Since that edition, Roof lamp: Square: the first car moves from S590 to S690. Source: parts list.",
        "Since that edition, Roof lamp: Square: a car that was seen with it is no longer named. Source: club register.",
    ]
    assert lines[-1].startswith(f"{LETTERS}/")
    assert "As they were sent\n  S100," in said
    value = json.loads(call(capsys, content, "sent", "--json"))
    assert list(value) == ["format", "edition", "letters", "findings"]
    (one,) = [letter for letter in value["letters"] if letter["differs"]]
    assert (one["car"], one["sent_to"], one["differs"][0]["mark"]) == ("S620", "Rosa Quillfeather", "roof-lamp")
    assert {line["mark"] for line in one["because"]} == {"roof-lamp"}, "what changed elsewhere is none of its business"


def test_a_number_that_was_built_at_another_time_is_told(
    content: pathlib.Path, tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call(capsys, content, "letter", "S300", "--depth", "quote", "--keep")
    change(content, "numbers/saloon.yml", "1960-12: S240", "1960-12: S340")
    said = call(capsys, content, "sent")
    assert "  Built: the letter says between " in said
    assert "  Why, no kept edition tells: " in said
    change(content, "numbers/saloon.yml", "1960-12: S340", "1960-12: S240")
    call(capsys, content, "publish", str(tmp_path / "to"))
    change(content, "guide.yml", "edition: first", "edition: second")
    change(content, "numbers/saloon.yml", "1960-12: S240", "1960-12: S340")
    change(content, "numbers/saloon.yml", "  1962-12: S960\n", "  1962-11: S955\n")
    said = call(capsys, content, "sent")
    since = "  Since that edition, the numbers of Saloon: "
    assert [line.removeprefix(since) for line in said.splitlines() if line.startswith(since)] == [
        "The last built by 31 December 1960 is S340; before, it said S240.",
        "Newly stated: S955 as the last built by 30 November 1962.",
        "No longer stated: S960 as the last built by 31 December 1962.",
    ]
    assert "Why, no kept edition tells" not in said
    call(capsys, content, "publish", str(tmp_path / "to"))
    page = (tmp_path / "to/editions.html").read_text(encoding="utf-8")
    assert "<h4>Numbers: Saloon</h4>" in page
    assert "The last built by 31 December 1960 is S340; before, it said S240." in page
    change(content, "numbers/saloon.yml", "  1962-11: S955\n", "  1962-12: S960\n")
    (letter,) = read_letters(content)[0]
    (content / letter.place.file).write_text(
        f"car: S300\ndepth: quote\nedition: first\nsent: 2026-11-21\nbuilt: [{letter.built[0].text}]\n",
        encoding="utf-8",
    )
    change(content, "numbers/saloon.yml", "1960-12: S340", "1960-12: S240")
    assert "; 0 would say otherwise" in call(capsys, content, "sent")


def test_what_was_renamed_since_is_the_same_and_what_is_gone_is_told(
    content: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call(capsys, content, "letter", "S300", "roof-lamp=round", "--keep")
    for which, new in (("mark/roof-lamp", "lamp"), ("form/lamp/round", "disc")):
        call(capsys, content, "rename", which, new)
    assert "; 0 would say otherwise" in call(capsys, content, "sent")
    (content / "marks" / "lamp.yml").unlink()
    change(content, "areas.yml", "cabin: {name: Cabin, marks: [lamp]}\n", "")
    assert "This guide has no mark 'roof-lamp'" in call(capsys, content, "sent")


def test_a_file_that_is_no_letter_is_a_finding_and_stops_nothing(
    content: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = content / LETTERS
    folder.mkdir(parents=True)
    (folder / "a.yml").write_text("depth: leter\nedition: first\nsent: 2026-11-21\nto: x\n", encoding="utf-8")
    (folder / "b.yml").write_text("car: [S300\n", encoding="utf-8")
    (folder / "c.yaml").write_text("car: S300\n", encoding="utf-8")
    wrong = "left the works with: switches\nbuilt: [soon]\nsent: 2026-11-21\nedition: x\ndepth: list\n"
    (folder / "d.yml").write_text(wrong, encoding="utf-8")
    (content / "private" / "owners.csv").write_text("anything,at all\n", encoding="utf-8")
    (content / "private" / "marks.yml").write_text("- [\n", encoding="utf-8")
    found = [finding.line(ENGLISH) for finding in read_letters(content)[1]]
    begin = [line.removeprefix(f"{LETTERS}/").partition("; it is set aside")[0] for line in found]
    assert begin == [
        "a.yml:1:8: warning: expected how much the letter says, one of letter, list, quote, found 'leter'",
        "a.yml:4:1: warning: a letter kept has no key 'to'",
        "b.yml:1:6: warning: the bracket or brace that opens here is not closed, or a text inside it needs quotes",
        "c.yaml:1:1: warning: this file is not read: private/letters/ holds files that end with .yml",
        "d.yml:1:22: warning: expected each mark with its forms, found 'switches'",
        "d.yml:2:9: warning: expected a date or a car, found 'soon'",
    ]
    said = call(capsys, content, "check")
    assert all(line in said for line in found)
    said = call(capsys, content, "sent")
    assert said.startswith(found[0])
    assert "1 letter is kept in private/letters/; 0 would say otherwise today." in said
    assert call(capsys, content, "--stop-on", "warnings")


def test_letters_are_written_nowhere_but_in_the_private_folder(
    content: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (content / "private").mkdir()
    call(capsys, content, "letter", "S300", "--to", str(content / "private" / "one.txt"))
    assert (content / "private" / "one.txt").is_file()
    call(capsys, content, "letter", "S300", "--to", str(content / "one.txt"), status=2)
    assert not (content / LETTERS).exists(), "nothing is kept unless it is asked for"


def test_a_guide_is_not_made_anew_for_a_letter(content: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    call(capsys, content)
    before = {path.name for path in (content.parent / ".out.cache").rglob("*")}
    call(capsys, content, "letter", "S300", "--keep")
    call(capsys, content, "letter", "S301", "--keep")
    more = {path.name for path in (content.parent / ".out.cache").rglob("*")} - before
    assert len(more) <= 1, "what letters need is kept once"
    call(capsys, content)
    assert {path.name for path in (content.parent / ".out.cache").rglob("*")} - before == more

"""One thing gets another id: every reference follows, remarks stay, and the old id is kept under `formerly`."""

from __future__ import annotations

import pathlib
import re
import shutil

import pytest

from guide.command.main import main
from guide.facts.read import read_guide
from guide.pages.parts.beside_a_car import former_ids
from tests.mistakes.spoil import GUIDE, findings_of
from tests.starting import change
from tests.told import ENGLISH

ABOUT = """\
See [the dials](mark:dials) and [late cars](period:late), [two](apart:early/late), [a word](words.html#word-fascia),
[two forms](forms/dials-bright-or-black.html), [belts](care.html#care-old-belts), [a trim](sheets/late-tan-cloth.html),
[the list](sources.html#source-bulletin-7) and [all of early](timeline/period-early.html).
The end of late summer is near. ![A rim](dials-black.svg)
"""
# Names of every record as people type them: a scope, an end, an answer pasted into a sheet, a column.
LATER = {
    "cars-seen/pasted.csv": "car,answers,interior\nC1500,body=coupe dials=bright+black,tan-cloth\n",
    "numbers/engine.yml": 'name: Engine\nbody: engine\nkind: engine\nwritten: "E#####"\nout of order: 50\n'
    "runs:\n  - {cars: E10001..E19999, source: register}\n",
    "cars-seen/engines.csv": "car,engine,belts\nC1501,E10400,static\n",
}


@pytest.fixture
def content(tmp_path: pathlib.Path) -> pathlib.Path:
    content = pathlib.Path(shutil.copytree(GUIDE, tmp_path / "content"))
    (content / "about.md").write_text(ABOUT, encoding="utf-8")
    for name, text in LATER.items():
        (content / name).write_text(text, encoding="utf-8")
    with (content / "marks" / "dials.yml").open("a", encoding="utf-8") as file:
        file.write(
            "      - {first: start of late, source: register, for: {series: coupe}}  # dials: a remark that stays\n"
        )
        file.write(
            "      - {seen: C2700, source: register, for: [tan-cloth, right]}\nonly if: {series: [coupe, open]}\n"
        )
        file.write('rulings:\n  - {set aside: "register first start of late", why: dials differ, on: 2026-10-01}\n')
    return content


def rename(content: pathlib.Path, which: str, new: str) -> int:
    return main(["rename", which, new, "--content", str(content), "--out", str(content.parent / "out")])


@pytest.mark.parametrize(
    ("which", "new", "file", "line"),
    [
        ("mark/dials", "clock-faces", "marks/clock-faces.yml", "formerly: [clocks, dials]"),
        ("mark/switches", "minor-switches", "marks/minor-switches.yml", "formerly: switches"),
        ("form/switches/toggle", "lever", "marks/switches.yml", "    formerly: toggle"),
        ("form/dials/bright", "chromed", "marks/dials.yml", "    formerly: [chrome, bright]"),
        ("form/dials/bright", "chrome", "marks/dials.yml", "    formerly: [bright]"),
        ("source/bulletin-7", "works-bulletin-7", "sources.yml", "works-bulletin-7: {formerly: bulletin-7, name:"),
        ("source/newsletter", "club-news", "sources.yml", "  formerly: [club-letter, newsletter]"),
        ("period/late", "second", "periods.yml", "second: {formerly: [late], name: Late"),
        ("interior/tan-cloth", "tan", "interiors.yml", "tan: {formerly: [fawn-felt, tan-cloth], name:"),
        ("area/dash", "board", "areas.yml", "board: {formerly: dash, name: Dash"),
        ("series/coupe", "closed-car", "numbers/closed-car.yml", "formerly: coupe"),
        ("series/engine", "motor", "numbers/motor.yml", "formerly: engine"),
        ("word/fascia", "board", "words.yml", "board:"),
        ("care/old-belts", "worn-belts", "care/worn-belts.yml", "formerly: old-belts"),
    ],
)
def test_every_reference_follows(content: pathlib.Path, which: str, new: str, file: str, line: str) -> None:
    before = findings_of(content)
    assert rename(content, which, new) == 0
    assert line in (content / file).read_text(encoding="utf-8")
    found = findings_of(content)
    assert [(one.code, ENGLISH.tell(one.message)) for one in found] == [
        (one.code, ENGLISH.tell(one.message).replace(which.rpartition("/")[2], new)) for one in before
    ]
    whole = {
        path.name: path.read_text("utf-8") for path in content.rglob("*") if path.suffix in (".yml", ".md", ".csv")
    }
    assert "# dials: a remark that stays" in "".join(whole.values())
    assert "dials differ" in "".join(whole.values())
    assert "end of late summer" in whole["about.md"]
    for path in content.rglob("*.yml"):  # nothing is found by its id of old alone
        text = re.sub(r"(?m)^ *formerly: .*\n|formerly: (?:\[[^\]]*\]|[\w-]+), ", "", path.read_text(encoding="utf-8"))
        path.write_text(text, encoding="utf-8", newline="\n")
    assert read_guide(content).guide is not None
    again = findings_of(content)
    assert [(one.code, one.message) for one in again] == [(one.code, one.message) for one in found]
    if which.startswith(("mark", "form")):
        assert sorted(path.name for path in (content / "pictures").iterdir() if new in path.name) != []


@pytest.mark.parametrize(
    ("right", "typed", "becomes"),
    [
        (
            "newsletter:\n  formerly: club-letter\n",
            "newsletter:  # theirs\n\n  # by hand\n",
            "club-news:  # theirs\n  formerly: newsletter\n\n  # by hand\n",
        ),
        (
            "newsletter:\n  formerly: club-letter\n",
            "newsletter:\n  formerly: post  # once\n",
            "club-news:\n  formerly: [post, newsletter]  # once\n",
        ),
        (
            "newsletter:\n  formerly: club-letter\n",
            "newsletter:\n  formerly:\n    - post\n",
            "club-news:\n  formerly:\n    - newsletter\n    - post\n",
        ),
        ("newsletter:\n  formerly: club-letter\n", '"newsletter":\n', "club-news:\n  formerly: newsletter\n"),
        (
            "newsletter:\n  formerly: club-letter\n",
            "newsletter:\n  formerly: [club-news, post]\n",
            "club-news:\n  formerly: [post, newsletter]\n",
        ),
    ],
)
def test_what_it_was_called_is_added_to_what_stands_there(
    content: pathlib.Path, right: str, typed: str, becomes: str
) -> None:
    change(content, "sources.yml", right, typed)
    assert rename(content, "source/newsletter", "club-news") == 0
    assert becomes in (content / "sources.yml").read_text(encoding="utf-8")
    assert "newsletter" in read_guide(content).guide.sources["club-news"].formerly  # type: ignore[union-attr]


def test_forms_in_one_line_are_renamed_where_they_stand(content: pathlib.Path) -> None:
    path = content / "marks" / "belts.yml"
    text = path.read_text(encoding="utf-8")
    start = text.index("forms:")
    forms = (
        "forms: {static: {name: Static, answer: Hang, describes: Hangs., taken for: [{form: reel, tell: It rolls.}]}, "
        "reel: {name: Reel, answer: Roll, describes: Rolls.}}\n"
    )
    path.write_text(text[:start] + forms + text[text.index("changes:") :], encoding="utf-8", newline="\n")
    assert rename(content, "form/belts/reel", "inertia") == 0
    text = path.read_text(encoding="utf-8")
    assert "[{form: inertia, tell: It rolls.}]}, inertia: {formerly: reel, name: Reel" in text
    assert not [one for one in findings_of(content) if one.place.file == "marks/belts.yml"]


def test_what_nothing_names_is_said_to_be_so(content: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    with (content / "sources.yml").open("a", encoding="utf-8") as file:
        file.write("leaflet: {name: Leaflet, kind: press, trust: fair}\n")
    assert rename(content, "source/leaflet", "flyer") == 0
    assert "flyer now where it stands; nothing else names it." in capsys.readouterr().out


def test_a_series_is_known_by_its_id_of_old_in_notes_and_in_cars_seen(content: pathlib.Path) -> None:
    assert rename(content, "series/coupe", "closed-car") == 0
    (content / "cars-seen" / "late.csv").write_text(
        "car,body,interior,belts\n,coupe,tan-cloth,reel\nC1503,coupe,,static\n", encoding="utf-8"
    )
    reading = read_guide(content)
    assert reading.findings == ()
    assert reading.guide is not None
    assert former_ids(reading.guide)["forms"]["body"] == {"coupe": "closed-car", "roadster": "open"}


def test_what_could_not_be_read_afterwards_is_put_back_whole(
    content: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = {path: path.read_bytes() for path in content.rglob("*") if path.is_file()}
    assert rename(content, "mark/belts", "clocks") == 2
    assert "is as it was" in capsys.readouterr().err
    assert {path: path.read_bytes() for path in content.rglob("*") if path.is_file()} == before


def test_what_cannot_be_renamed_is_said_and_nothing_changes(
    content: pathlib.Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = {path: path.read_bytes() for path in content.rglob("*") if path.is_file()}
    for which, new, says in (
        ("dials", "x", "names nothing that can be renamed"),
        ("mark/no-such", "x", "has no mark 'no-such'"),
        ("mark/clocks", "x", "The mark 'clocks' is called 'dials' now. Type rename mark/dials x."),
        ("form/dials/chrome", "x", "is called 'bright' now. Type rename form/dials/bright x."),
        ("mark/dials", "belts", "has a mark 'belts' already"),
        ("mark/dials", "Clock Faces", "cannot be an id"),
    ):
        assert rename(content, which, new) == 2
        assert says in capsys.readouterr().err
    assert {path: path.read_bytes() for path in content.rglob("*") if path.is_file()} == before

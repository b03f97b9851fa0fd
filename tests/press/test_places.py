"""Places of findings that only the press can have, and findings that stay short whatever was typed."""

from __future__ import annotations

import json
import pathlib
import unicodedata

import pytest

from guide.command.main import main
from guide.command.work import check_guide_whole, make_guide
from guide.press.theme import open_theme
from tests.conftest import ROOT
from tests.starting import started
from tests.told import ENGLISH

LAMP = (ROOT / "guide" / "command" / "starter" / "marks" / "roof-lamp.yml").read_text(encoding="utf-8")
DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path class="part" d="M0 0H8"/></svg>'


def said(content: pathlib.Path) -> list[str]:
    return [finding.line(ENGLISH) for finding in check_guide_whole(content, open_theme("", content)).findings]


def test_a_finding_in_about_md_names_that_file_and_its_line(tmp_path: pathlib.Path) -> None:
    text = "# About\n\nSee [x](mark:none).\n\n| a |\n|---|\n| 1 | 2 |\n\n![](no.jpg)\n"
    places = [line.split(": ")[0] for line in said(started(tmp_path, {"about.md": text}))]
    assert places == ["about.md:3:14", "about.md:7:1", "about.md:9:5", "about.md:9:5"]


@pytest.mark.parametrize(("typed", "on_disk"), [("NFC", "NFD"), ("NFD", "NFC")])
def test_a_picture_is_found_whichever_way_its_letters_are_composed(
    tmp_path: pathlib.Path, typed: str, on_disk: str
) -> None:
    """Some systems write names of files in decomposed letters, and what is copied from there is typed so."""

    def name(form: str) -> str:
        return unicodedata.normalize(form, "Gr\u00fcn \u00e9.svg")  # type: ignore[arg-type]

    lamp = LAMP.replace("A round lamp\n", f"A round lamp\n    picture: {name(typed)}\n", 1)
    content = started(
        tmp_path,
        {
            "marks/roof-lamp.yml": f'{lamp}about: "![A lamp]({name(typed)})"\n',
            "pictures/roof-lamp-round.svg": "",
            f"pictures/{name(on_disk)}": DRAWING,
        },
    )
    assert said(content) == []
    _, site = make_guide(content, open_theme("", content), stop_on="errors")
    assert site is not None
    assert site["marks/roof-lamp.html"].decode().count('d="M0 0H8"') == 2


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("survives: most", "survives: {}"),
        ("A round lamp\n", "A: {}\n"),
        ("What shape", "{}: shape"),
        ("S598", "{}"),
        ("last: S598", "{}: S598"),
        ("name: Roof lamp", 'name: "{}'),
        ("order: [round, square]", "order: [{}]"),
    ],
)
def test_no_finding_is_a_line_of_megabytes(
    tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str], old: str, new: str
) -> None:
    assert old in LAMP
    content = started(tmp_path, {"marks/roof-lamp.yml": LAMP.replace(old, new.format("long " * 40_000), 1)})
    call = ["check", "--content", str(content), "--out", str(tmp_path / "out")]
    assert main(call) == 1
    assert max(map(len, capsys.readouterr().out.splitlines())) < 3000
    assert main([*call, "--json"]) == 1
    found = json.loads(capsys.readouterr().out)["findings"]
    assert max(len(str(text)) for one in found for text in one.values()) < 3000


@pytest.mark.parametrize("sign", "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
def test_a_sign_that_turns_the_reading_round_is_told_and_goes_nowhere(tmp_path: pathlib.Path, sign: str) -> None:
    """Unicode's explicit directions (UAX 9, 2): a name that holds one is not the name that is read."""
    content = started(
        tmp_path,
        {
            "marks/roof-lamp.yml": LAMP.replace("Roof lamp", f"Roof {sign}lamp").replace("A round", f"A {sign}round"),
            "about.md": f"It {sign}is.\n",
            "cars-seen/show.csv": f"car,roof-lamp\nS{sign}540,round\n",
        },
    )
    told = [line for line in said(content) if f"U+{ord(sign):04X}" in line]
    assert [line.split(":")[0] for line in told] == ["about.md", "cars-seen/show.csv", "marks/roof-lamp.yml"]
    _, site = make_guide(content, open_theme("", content), stop_on="errors")
    assert site is not None
    assert [
        name for name, data in site.items() if name.endswith((".html", ".js")) and f"Roof {sign}lamp".encode() in data
    ] == []

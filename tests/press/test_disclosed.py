"""Nothing leaves unseen: what is planted in the facts is looked for in every byte, and what does go out is told."""

from __future__ import annotations

import base64
import io
import json
import pathlib
import re
import shutil
import zipfile
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
from PIL import Image, PngImagePlugin

from guide.command.main import main
from guide.command.work import begin_guide
from guide.pages.parts.masked import shortened
from guide.press.cache import Cache
from guide.press.disclosed import disclosed, disclosed_page, told
from guide.press.theme import open_theme
from tests.conftest import ROOT
from tests.starting import started
from tests.told import ENGLISH

STARTER = ROOT / "guide" / "command" / "starter"
NEVER = (
    "Quillfeather",
    "Elmcott",
    "Hobb",
    "07700 900461",
    "S477",
    "S611",
    "S612",
    "S613",
    "S571",
    "2019-06-01",
    "quill.svg",
)
LETTER = """car: S477
depth: letter
edition: first
sent: 2026-11-21
sent to: Rosa Quillfeather, Elmcott
remarks: S613 stands by Hobb's pond
says: "To Rosa Quillfeather, 07700 900461: the lamp of S611..."
"""
DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><!-- by Quillfeather --><title>Elmcott</title>
<metadata>Hobb</metadata><path class="part" d="M0 0H8"/></svg>"""


def planted(tmp_path: pathlib.Path, masks: str = "mask seen statements: yes\n") -> pathlib.Path:
    """Return a guide in which a name, a place, a telephone and numbers stand wherever an editor may put them."""
    lamp = (STARTER / "marks" / "roof-lamp.yml").read_text(encoding="utf-8")
    lamp = lamp.replace("    name: Square\n", "    name: Square\n    picture: quill.svg   # Quillfeather's\n")
    content = started(
        tmp_path,
        {
            "guide.yml": f"{(STARTER / 'guide.yml').read_text(encoding='utf-8')}{masks}# Quillfeather told me\n",
            "marks/roof-lamp.yml": f"{lamp}pictures: [{{file: plate.png, credit: The club}}]\n"
            "about: |\n  ![A dash](Quillfeather of Elmcott.jpg) ![A plate](plate.png)\n",
            "pictures/quill.svg": DRAWING,
            "Quillfeather.txt": "Elmcott",
            "private/letters/2026-11-21-s477.yml": LETTER,
            "private/owners of Elmcott.csv": "car,owner\nS477,Rosa Quillfeather\n",
            "cars-seen/show.csv": "car,seen on,source,remarks,private: owner,roof-lamp\n"
            'S477,2019-06-01,register,"Rosa Quillfeather, Elmcott",07700 900461,round\n',
            "cars-seen/phone.json": json.dumps(
                {
                    "format": 1,
                    "cars": [{"car": "S1100", "remarks": "by Hobb's pond", "answers": {"roof-lamp": "square"}}],
                }
            ),
        },
    )
    exif = Image.Exif()
    exif[0x013B] = "Quillfeather"
    exif.get_ifd(0x8825)[2] = (52.0, 12.0, 30.0)
    pictures = content / "pictures"
    Image.new("RGB", (60, 40), (90, 40, 30)).save(pictures / "Quillfeather of Elmcott.jpg", exif=exif, comment=b"Hobb")
    Image.new("RGB", (60, 40), (30, 40, 90)).save(pictures / "Elmcott barn.jpg")  # which nothing shows
    note = PngImagePlugin.PngInfo()
    note.add_text("Author", "Quillfeather", zip=True)
    Image.new("RGB", (60, 40), (30, 90, 30)).save(pictures / "plate.png", pnginfo=note)
    return content


def made(content: pathlib.Path) -> Any:
    worked, making = begin_guide(content, open_theme("", content), Cache(None), for_editor=False)
    assert making is not None, [finding.line(ENGLISH) for finding in worked.findings]
    return making


def every_byte(site: Mapping[str, bytes]) -> Iterator[tuple[str, bytes]]:
    """Yield every file, every entry of the archive, and everything that stands in a page as an address of data."""
    for name, data in site.items():
        yield name, name.encode() + data
        if name.endswith(".zip"):
            with zipfile.ZipFile(io.BytesIO(data)) as archive:
                yield name, archive.comment
                for entry in archive.infolist():
                    yield f"{name}/{entry.filename}", entry.filename.encode() + entry.extra + archive.read(entry)
        for held in re.findall(rb"data:[a-z/]+;base64,([A-Za-z0-9+/=]+)", data):
            yield f"{name}: data", base64.b64decode(held)


def leaks(site: Mapping[str, bytes]) -> list[str]:
    """Return where something that was planted stands, as typed or as HTML, JSON and addresses write it."""
    found = []
    for name, data in every_byte(site):
        text = data.decode("utf-8", "replace").replace("%20", " ").replace("&#39;", "'")
        found += [
            f"{name}: {one}" for one in NEVER if re.search(rf"(?<![A-Za-z0-9]){re.escape(one)}(?![0-9])", text, re.I)
        ]
    return found


def test_nothing_that_was_planted_stands_in_any_byte(tmp_path: pathlib.Path) -> None:
    content = planted(tmp_path)
    site = made(content).whole()
    assert leaks(site) == []
    assert {"worker.js", "guide.zip", "guide-in-one-file.html"} < set(site)
    shutil.rmtree(content / "private")
    assert made(content).whole() == site, "not a byte hangs on the private folder"
    assert any(shortened("S612").encode() in data for data in site.values())
    pictures = {name: data for name, data in site.items() if name.startswith("pictures/")}
    assert len(pictures) == 2, "the one that nothing shows stays"
    for data in pictures.values():
        with Image.open(io.BytesIO(data)) as picture:
            assert dict(picture.getexif()) == {}
            assert set(picture.info) <= {
                "jfif",
                "jfif_version",
                "jfif_unit",
                "jfif_density",
                "progressive",
                "progression",
            }


@pytest.mark.parametrize("what", ["a name", "a file's name", "a number", "the single file", "the archive"])
def test_the_look_at_every_byte_finds_what_is_there(what: str) -> None:
    held = base64.b64encode(b"Exif Quillfeather")
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("a.html", "of Elmcott " * 9)
    sites = {
        "a name": {"a.html": b"by ROSA QUILLFEATHER"},
        "a file's name": {"pictures/elmcott-barn.jpg": b""},
        "a number": {"data/search.js": b'{"S477":[]}'},
        "the single file": {"a.html": b"data:image/jpeg;base64," + held},
        "the archive": {"guide.zip": stream.getvalue()},
    }
    assert leaks(sites[what]) != []


def test_what_goes_out_is_told_as_it_is_in_the_files(tmp_path: pathlib.Path) -> None:
    content = planted(tmp_path, masks="")
    making = made(content)
    site = making.whole()
    found = disclosed(making.shelf, site, content)
    numbers = {one.number: one for one in found.numbers}
    assert numbers["S612"].kinds == ("seen",)
    assert numbers["S612"].files == sum(
        re.search(r"(?<!\w)S612(?!\w)", data.decode("utf-8")) is not None
        for name, data in site.items()
        if name.endswith((".html", ".csv", ".js", ".json")) and name != "guide-in-one-file.html"
    )
    assert numbers["S598"].kinds == ("paper",)
    assert (numbers["S477"].kinds, numbers["S477"].files) == (("car-seen",), 0)
    pictures = {one.file: one for one in found.pictures}
    assert (pictures["Elmcott barn.jpg"].name, pictures["Elmcott barn.jpg"].pages) == ("", 0)
    assert pictures["Quillfeather of Elmcott.jpg"].name in site
    assert pictures["quill.svg"].pages > 0
    assert (pictures["plate.png"].pages, pictures["plate.png"].credit) == (1, "The club")
    assert [(one.column, one.text, one.files) for one in found.remarks] == [
        ("remarks", "by Hobb's pond", 0),
        ("remarks", "Rosa Quillfeather, Elmcott", 0),
        ("private: owner", "07700 900461", 0),
    ]
    assert dict(found.columns)["downloads/statements.csv"] == ("mark", "form", "kind", "when", "source")
    page = disclosed_page(found, ENGLISH).decode()
    for _, lines in told(found, ENGLISH):
        for line in lines:
            assert line.replace("&", "&amp;").replace("'", "&#x27;") in page
    assert "S612: in full, in" in page
    assert "hides their last two digits" in page


def test_what_a_private_letter_names_and_the_guide_prints_is_told(tmp_path: pathlib.Path) -> None:
    content = started(tmp_path, {})
    (content / "private" / "letters").mkdir(parents=True)
    letter = LETTER.replace("Rosa Quillfeather, Elmcott", "The owner")
    letter = letter.replace("S613 stands by Hobb's pond", "A long lever lying along the door.")
    (content / "private" / "letters" / "one.yml").write_text(letter, encoding="utf-8")
    making = made(content)
    found = disclosed(making.shelf, making.whole(), content)
    assert [(one.column, one.files > 0) for one in found.repeated] == [("remarks", True)]


def test_a_remark_that_does_go_out_is_told(tmp_path: pathlib.Path) -> None:
    content = started(
        tmp_path, {"cars-seen/show.csv": "car,remarks,roof-lamp\nS477,A round lamp in the middle,round\n"}
    )
    making = made(content)
    (one,) = disclosed(making.shelf, making.whole(), content).remarks
    assert one.files > 0
    assert one.place.line == 2


def test_the_command_tells_it_in_words_and_as_json(tmp_path: pathlib.Path, capsys: pytest.CaptureFixture[str]) -> None:
    content = planted(tmp_path)
    call = ["disclosed", "--content", str(content), "--out", str(tmp_path / "out")]
    assert main(call) == 0
    said = capsys.readouterr().out
    assert "  S612: as S6··; in a statement “seen” (marks/roof-lamp.yml:21:16)\n" in said
    assert "  pictures/Elmcott barn.jpg: stays, no page shows it\n" in said
    assert "  Cells that stay: 3.\n" in said
    assert "  Nothing of private/ goes out: 2 files stay here.\n" in said
    assert main([*call, "--json"]) == 0
    value = json.loads(capsys.readouterr().out)
    assert list(value) == ["format", "edition", "numbers", "pictures", "remarks", "sheets", "signed", "private"]
    assert {
        "number": "S571",
        "file": "marks/door-handle.yml",
        "line": 13,
        "in": ["seen"],
        "files": 0,
        "instead": "S5··",
    } in (value["numbers"])
    assert not (tmp_path / "out").exists()
    (content / "guide.yml").write_text("format: 1\n", encoding="utf-8")
    assert main(call) == 1
    assert "error: expected `title:`" in capsys.readouterr().out

"""A club's own photographs: several to a form, each saying whose it is, in the width that a browser needs."""

from __future__ import annotations

import base64
import io
import pathlib
import re
from collections.abc import Mapping
from html import unescape

import pytest
from PIL import Image

from guide.command.work import make_guide
from guide.press.cache import Cache
from guide.press.theme import open_theme
from tests.starting import started
from tests.told import ENGLISH

LISTED = """
    pictures:
      - {file: round-1.jpg, credit: A. Member, licence: CC-BY-4.0, year: 1971, caption: On the way to a show,
         describes: A round lamp lit in a dark car.}
      - {file: round-2.jpg, credit: B. Member, caption: As first fitted.}
"""


def photograph(path: pathlib.Path, width: int = 2000, height: int = 1500, colour: str = "teal") -> None:
    """Write a photograph that has something to hide."""
    hidden = Image.Exif()
    hidden[0x010E] = "the garage behind the church"
    hidden.get_ifd(0x8825)[2] = (52.0, 12.0, 30.0)
    picture = Image.linear_gradient("L").resize((width, height)).convert("RGB")
    picture.paste(colour, (0, 0, width // 2, height // 2))
    picture.save(path, exif=hidden, comment=b"the garage")


def with_pictures(folder: pathlib.Path, *, listed: str = LISTED, licence: str = "CC-BY-SA-4.0") -> pathlib.Path:
    """Return the small guide with photographs of one form, one of them called by the form's own name."""
    content = started(folder, {})
    mark = content / "marks" / "roof-lamp.yml"
    text = mark.read_text(encoding="utf-8")
    at = text.index("    answer:", text.index("  round:"))
    mark.write_text(text[:at] + listed.lstrip("\n") + text[at:], encoding="utf-8")
    guide = content / "guide.yml"
    guide.write_text(guide.read_text(encoding="utf-8") + f"licence: {licence}\n", encoding="utf-8")
    for at_, name in enumerate(("round-1.jpg", "round-2.jpg", "roof-lamp-round.jpg")):
        photograph(content / "pictures" / name, colour=("teal", "olive", "maroon")[at_])
    return content


def made(content: pathlib.Path) -> tuple[Mapping[str, bytes], list[str]]:
    worked, site = make_guide(content, open_theme(), stop_on="errors", cache=Cache(content.parent / "kept"))
    said = [finding.line(ENGLISH) for finding in worked.findings]
    assert site is not None, said
    return site, said


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, bytes]:
    """The small guide with its photographs."""
    found, said = made(with_pictures(tmp_path_factory.mktemp("pictures")))
    assert said == [
        "marks/roof-lamp.yml:8:3: warning: expected whose the photograph roof-lamp-round.jpg of Round is, because the "
        "guide's licence CC-BY-SA-4.0 asks for it"
    ]
    return found


def test_a_drawing_and_photographs_stand_side_by_side_each_with_its_words(site: Mapping[str, bytes]) -> None:
    page = site["marks/roof-lamp.html"].decode()
    figure = page[page.index('id="form-round"') : page.index("</figure>", page.index('id="form-round"'))]
    assert figure.count("<svg") == 1
    assert figure.count("data-larger") == figure.count('class="photograph"') == 3
    assert "As first fitted. Picture: B. Member." in figure  # one stop, whoever typed it
    assert "On the way to a show. Picture: A. Member, 1971. Licence: CC BY 4.0." in figure
    assert 'alt="A round lamp lit in a dark car."' in figure
    about = unescape(site["about.html"].decode())
    listed = about[about.index('id="pictures"') :]
    assert "On the way to a show. Picture: A. Member, 1971. Licence: CC BY 4.0." in listed
    assert "As first fitted. Picture: B. Member." in listed
    assert [
        name for name, data in site.items() if name.endswith((".html", ".json", ".js")) and b"round-2" in data
    ] == []


def test_each_photograph_comes_in_three_widths_with_nothing_hidden_in_any(site: Mapping[str, bytes]) -> None:
    page = site["marks/roof-lamp.html"].decode()
    sets = [re.findall(r"\.\./(pictures/\S+) (\d+)w", one) for one in re.findall(r'srcset="([^"]+)"', page)]
    assert [[int(width) for _, width in one] for one in sets] == [[480, 960, 1600]] * 3
    for one in sets:
        for name, width in one:
            data = site[name]
            picture = Image.open(io.BytesIO(data))
            assert picture.size == (int(width), int(width) * 3 // 4)
            assert not {"exif", "icc_profile", "comment", "xmp"} & set(picture.info)
            assert b"garage" not in data
    assert {name for name in site if name.startswith("pictures/")} == {name for one in sets for name, _ in one}


def test_a_light_one_is_carried_in_the_single_file(site: Mapping[str, bytes]) -> None:
    alone = site["guide-in-one-file.html"].decode()
    held = re.findall(r'src="data:image/jpeg;base64,([^"]+)"', alone)
    sizes = [Image.open(io.BytesIO(base64.b64decode(one))).size for one in held]
    assert sizes == [(480, 360)] * 3
    assert '"data:,"' not in alone.partition("</head>")[2]
    assert "Picture: A. Member, 1971." in alone


def test_the_same_photographs_give_the_same_bytes_whether_kept_or_not(
    tmp_path: pathlib.Path, site: Mapping[str, bytes]
) -> None:
    content = with_pictures(tmp_path)
    assert made(content)[0] == site
    assert made(content)[0] == site


def test_a_photograph_called_as_the_drawing_would_be_stands_in_for_it(tmp_path: pathlib.Path) -> None:
    content = started(tmp_path, {})
    (content / "pictures" / "roof-lamp-round.svg").unlink()
    photograph(content / "pictures" / "roof-lamp-round.jpg", 300, 200)
    found, said = made(content)
    assert said == []
    page = found["marks/roof-lamp.html"].decode()
    figure = page[page.index('id="form-round"') : page.index("</figure>", page.index('id="form-round"'))]
    assert figure.count('class="photograph"') == 1
    assert "srcset" not in figure, "never made wider than it is"
    assert 'class="photograph"' in found["card.html"].decode()


def test_a_picture_that_is_listed_and_not_there_is_told(tmp_path: pathlib.Path) -> None:
    content = with_pictures(tmp_path, licence="CC0-1.0")
    (content / "pictures" / "round-2.jpg").unlink()
    _, said = made(content)
    (line,) = said
    assert line.startswith("marks/roof-lamp.yml:13:")
    assert "round-2.jpg" in line

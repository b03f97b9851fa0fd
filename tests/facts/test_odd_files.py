"""What real folders and editors bring that cannot be kept as files here: encodings, names, links, size.

The file names and bytes are made on the spot, because they could not be checked out on every system.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
import yaml

from guide.facts.read import GuideRead, read_guide
from guide.facts.records.readers import duration_days, whole
from guide.facts.records.references import read_form_ref
from guide.facts.text import folder
from guide.facts.text.decoding import decode
from guide.facts.text.desk import Desk
from guide.facts.text.parser_faults import Fault, explain_parser_error
from guide.facts.text.problem import Problem
from guide.facts.text.source import MAX_BYTES, compose
from guide.facts.types import NumberFailure, Text
from guide.facts.when.number_ranges import read_plain_range, read_range
from guide.facts.when.numbers import read_number
from guide.finding import Place
from tests.starting import change
from tests.told import told
from tests.whens import read_when

SMALL = Path(__file__).parent / "small"
SWITCHES = "marks/switches.yml"


@pytest.fixture
def content(tmp_path: Path) -> Path:
    """A copy of the small guide."""
    return Path(shutil.copytree(SMALL, tmp_path / "content"))


def said(reading: GuideRead) -> list[tuple[str, str, int, int]]:
    return [(one.code, one.place.file, one.place.line, one.place.column) for one in reading.findings]


def test_utf8_with_a_byte_order_mark_and_windows_line_ends_reads_the_same(content: Path) -> None:
    plain = read_guide(content)
    path = content / SWITCHES
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    assert read_guide(content) == plain


def test_old_mac_line_ends_read_the_same(content: Path) -> None:
    plain = read_guide(content)
    path = content / SWITCHES
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r"))
    assert read_guide(content) == plain


def test_a_windows_1252_file_is_told_byte_line_and_mend(content: Path) -> None:
    path = content / SWITCHES
    path.write_bytes(path.read_bytes().replace(b"below the dials", b"by the caf\xe9 \x93grey\x94"))
    (finding,) = read_guide(content).findings
    assert (finding.code, finding.place) == ("not-utf-8", Place(SWITCHES, 3, 25))
    assert told(finding.message) == "expected text in UTF-8, found the byte 0xE9, which is 'é' in windows-1252"
    assert finding.excerpt == "look: The row by the café “grey”."


def test_further_faults_of_a_windows_1252_file_are_said_in_the_same_run(content: Path) -> None:
    path = content / SWITCHES
    path.write_bytes(path.read_bytes().replace(b"dials", b"caf\xe9").replace(b"survives: most", b"survives: moast"))
    assert said(read_guide(content)) == [("not-utf-8", SWITCHES, 3, 28), ("unknown-choice", SWITCHES, 5, 11)]


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-be", "utf-16-le without a mark", "utf-16-be without a mark"])
def test_a_utf_16_file_is_said_to_be_one(content: Path, encoding: str) -> None:
    path = content / SWITCHES
    mark = "" if encoding != "utf-16-be" else "\ufeff"
    path.write_bytes((mark + path.read_text(encoding="utf-8")).encode(encoding.split()[0]))
    (finding,) = read_guide(content).findings
    assert (finding.code, finding.place) == ("not-utf-8", Place(SWITCHES))
    assert "UTF-16" in told(finding.message)


@pytest.mark.parametrize("separator", ["\x85", "\u2028", "\u2029"])
def test_line_ends_that_no_editor_counts_are_named_and_do_not_shift_the_lines(content: Path, separator: str) -> None:
    path = content / SWITCHES
    text = path.read_text(encoding="utf-8").replace("The row below", f"The row{separator}below")
    path.write_text(text.replace("survives: most", "survives: moast"), encoding="utf-8")
    assert said(read_guide(content)) == [("invisible-character", SWITCHES, 3, 14), ("unknown-choice", SWITCHES, 5, 11)]


@pytest.mark.parametrize("sign", [*map(chr, range(0x202A, 0x202F)), *map(chr, range(0x2066, 0x206A))])
def test_a_name_is_never_turned_about(content: Path, sign: str) -> None:
    change(content, SWITCHES, "name: Small", f"name: {sign}Small")
    reading = read_guide(content)
    (finding,) = reading.findings
    assert (finding.code, finding.place) == ("invisible-character", Place(SWITCHES, 1, 7))
    assert f"(U+{ord(sign):04X})" in told(finding.message)
    assert reading.guide is not None
    assert sign not in next(iter(reading.guide.marks.values())).name


def test_zero_bytes_are_a_control_character() -> None:
    text, troubles = decode(b"name: a\x00b\n", "f.yml")
    assert text == "name: a b\n"
    assert [(one.code, one.place) for one in troubles] == [("control-character", Place("f.yml", 1, 8))]


@pytest.mark.parametrize("name", ["aux", "con", "nul", "com1", "lpt9", "prn"])
def test_names_that_windows_keeps_are_refused(content: Path, name: str) -> None:
    (content / "marks" / f"{name}.yml").write_text((content / SWITCHES).read_text(encoding="utf-8"), encoding="utf-8")
    assert said(read_guide(content)) == [("reserved-name", f"marks/{name}.yml", 1, 1)]


def test_names_that_differ_only_in_case_or_accents_are_refused(content: Path) -> None:
    (content / "pictures").mkdir()
    for name in ("Dash.svg", "dash.svg", "caf\u00e9.svg", "cafe\u0301.svg"):
        (content / "pictures" / name).write_text("<svg/>", encoding="utf-8")
    findings = read_guide(content).findings
    assert [(one.code, one.place.file) for one in findings] == [
        ("same-name", "pictures/caf\u00e9.svg"),
        ("same-name", "pictures/dash.svg"),
    ]


def test_an_id_that_is_too_long_for_a_file_name_is_refused(content: Path) -> None:
    name = "a-" * 40 + "b"
    (content / "care" / f"{name}.yml").parent.mkdir()
    (content / "care" / f"{name}.yml").write_text("title: x\n", encoding="utf-8")
    assert said(read_guide(content)) == [("bad-id", f"care/{name}.yml", 1, 1)]


def test_links_out_of_the_folder_are_refused_and_not_followed(content: Path, tmp_path: Path) -> None:
    outside = tmp_path / "horn.yml"
    outside.write_text("title: not ours\n", encoding="utf-8")
    (content / "marks" / "horn.yml").symlink_to(outside)
    (content / "care").symlink_to(tmp_path, target_is_directory=True)
    assert said(read_guide(content)) == [("link-in-folder", "care", 1, 1), ("link-in-folder", "marks/horn.yml", 1, 1)]


def test_a_content_folder_reached_by_a_link_is_read(content: Path, tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to(content, target_is_directory=True)
    assert read_guide(link) == read_guide(content)


def test_a_file_that_cannot_be_opened_is_a_finding(content: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened = Path.open

    def refuse(self: Path, *arguments: object, **named: object) -> object:
        if self.name == "switches.yml":
            raise PermissionError(13, "Permission denied")
        return opened(self, *arguments, **named)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", refuse)
    assert said(read_guide(content)) == [("unreadable-file", SWITCHES, 1, 1)]


def test_a_folder_that_is_not_there_is_a_finding(tmp_path: Path) -> None:
    reading = read_guide(tmp_path / "nowhere")
    assert reading.guide is None
    assert {one.code for one in reading.findings} == {"unreadable-file", "no-guide"}


def test_a_huge_file_is_not_read(content: Path) -> None:
    (content / "about.md").write_bytes(b"x" * (MAX_BYTES + 1))
    assert said(read_guide(content)) == [("too-large", "about.md", 1, 1)]


def test_what_systems_leave_in_folders_is_passed_over(content: Path) -> None:
    plain = read_guide(content)
    for name in (".DS_Store", "Thumbs.db", "desktop.ini", "~$statements.csv", "read me first.txt", ".git/config"):
        path = content / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(b"\x00\xff")
    assert read_guide(content) == plain


def test_a_file_that_should_stand_elsewhere_is_not_silently_left_out(content: Path) -> None:
    for name in ("marks/dash/horn.yml", "mark/wheel.yml", "drafts/belts.yml"):
        (content / name).parent.mkdir()
        (content / name).write_text("name: Horn\n", encoding="utf-8")
    assert said(read_guide(content)) == [
        ("file-not-read", "mark/wheel.yml", 1, 1),
        ("file-not-read", "marks/dash/horn.yml", 1, 1),
    ]


TEXTS = (
    "answer: Round: bright\n", "note: *note* this\n", "note: @ the factory\n", "note: %d of them\n", "%d of them\n",
    "note: | text\n", "a:\n\tb: c\n", 'name: "Small\nlook: here\n', "name: 'Tern's switches'\nlook: x\n",
    "a: {b: c\nd: e\n", "a: [b, c\nd: e\n", "a: }\n", "name: x\nlook here\n", "name: x\n  look: y\n", "name:x\nb: c\n",
    "f:\n  a:\n    b: c\n   d: e\n", "a: &b [*b]\n", "a: *nothing\n", "a: 1\nb: 2\na: 3\n", "a: b\n---\nc: d\n",
    "a: !tag b\n", "[" * 300, "note: &so on\n", "name: Foo #3\n", "  -a\n", "a: - b\n", "a:\tb\tc\n", "-\ta\n",
    "a: {b: c: d}\n", "a: ? b\n", "a: , b\n",
)  # fmt: skip


@pytest.mark.skipif(not hasattr(yaml, "CLoader") and "CI" not in os.environ, reason="one parser here")
@pytest.mark.parametrize("text", TEXTS)
def test_both_parsers_come_to_the_same_words(text: str) -> None:
    assert compose(text, "f.yml", yaml.CLoader) == compose(text, "f.yml", yaml.Loader)


def test_scalars_stay_as_they_were_typed() -> None:
    text = "a: 01840\nb: no\nc: 1968-03\nd: 1.10\ne: 14E6\nf: 12_345\ng: 0x1F\nh: ~\non: 1:30\nyes: 1971-02-30\n"
    node, troubles = compose(text, "f.yml")
    assert troubles == []
    assert not isinstance(node, str)
    assert node is not None
    assert [(str(key), str(value)) for key, value in node.pairs] == [  # type: ignore[union-attr]
        ("a", "01840"), ("b", "no"), ("c", "1968-03"), ("d", "1.10"), ("e", "14E6"), ("f", "12_345"), ("g", "0x1F"),
        ("h", "~"), ("on", "1:30"), ("yes", "1971-02-30"),
    ]  # fmt: skip


def test_a_message_never_met_before_is_still_a_finding_with_its_place() -> None:
    problem, place = explain_parser_error(Fault("found a novelty", "", ("name: x", "b"), (1, 0), (0, 0)))
    assert (problem.code, place) == ("not-yaml", (1, 0))
    assert told(problem.message) == "this cannot be read: found a novelty"


def test_a_windows_1252_table_is_read_and_that_is_said(content: Path) -> None:
    path = content / "cars-seen" / "june.csv"
    path.parent.mkdir()
    path.write_bytes("car;id\r\nC1840;café\r\n".encode("cp1252"))
    reading = read_guide(content)
    assert said(reading) == [("read-as-windows-1252", "cars-seen/june.csv", 2, 10)]
    assert reading.guide is not None
    assert [(car.number_text, car.id) for car in reading.guide.cars_seen] == [("C1840", "café")]


def test_the_ignored_names_do_not_hide_a_mark() -> None:
    assert not any(name.startswith(folder._IGNORED) for name in folder.ROOT_FILES)


@pytest.mark.parametrize(
    ("run", "code"),
    [
        ("{cars: C2900..C1001, source: ledger}", "inverted-range"),
        ("{source: ledger}", "one-of"),
        ("C1001..C2900", "wrong-shape"),
        ("{cars: C1001-C2900, source: ledger}", "bad-range"),
    ],
)
def test_a_run_that_cannot_be_read_is_said_once_and_not_at_every_car_in_it(content: Path, run: str, code: str) -> None:
    path = content / "numbers" / "coupe.yml"
    said = path.read_text(encoding="utf-8")
    path.write_text(
        said.replace("{cars: C1001..C2900, source: ledger}", f"{run}\n  - {{cars: C3001..C3010}}"), encoding="utf-8"
    )
    assert [one.code for one in read_guide(content).findings] == [code]


@pytest.mark.parametrize(
    ("broken", "held"),
    [
        ("numbers/coupe.yml", "nothing"),
        ("numbers/coupe.yml", ""),
        ("periods.yml", "- a"),
        ("periods.yml", "# later"),
        ("guide.yml", "- a"),
        ("areas.yml", "- a"),
    ],
)
def test_one_file_that_cannot_be_read_does_not_make_every_line_that_leads_to_it_a_fault(
    content: Path, broken: str, held: str
) -> None:
    """Cars, `start of` a period and `for:` lead there; a date that is none is still said in the same run."""
    with (content / SWITCHES).open("a", encoding="utf-8") as file:
        file.write(
            "changes:\n  - {from: toggle, to: rocker, at: end of early, source: bulletin-7, for: {hand: left}}\n"
            "  - {from: toggle, to: rocker, at: about 5 cars after C1840, source: bulletin-7}\n"
            "  - {from: toggle, to: rocker, at: sprung 1968, source: bulletin-7}\n"
        )
    (content / "cars-seen").mkdir()
    (content / "cars-seen" / "field.csv").write_text("car,switches\nC1840,toggle\n", encoding="utf-8")
    (content / broken).write_text(f"{held}\n", encoding="utf-8")
    found = [one.place.file for one in read_guide(content).findings]
    assert sorted(found) == sorted([SWITCHES, broken])


@pytest.mark.parametrize("many", ["9" * 5000, "²"])
def test_no_figures_are_too_many_or_too_odd_to_be_refused(many: str, content: Path) -> None:
    """Python turns no more than 4,300 figures into a number, and not every digit is one."""
    guide, desk = read_guide(content).guide, Desk()
    assert guide is not None
    for series in guide.series.values():
        desk.add_series(series)
    desk.forms = {"switches": {"rocker": 1}}
    scalars = [many, f"{many} cars", f"{many} days", f"{many} cars after C1840", f"C{many}", f"switches/rocker/{many}"]
    for one in scalars:
        typed = Text(one, Place("x.yml"))
        assert isinstance(read_when(one, series=guide.series), Problem), one
        read: list[object] = [reader.read(typed, desk) for reader in (whole, duration_days)]
        read += [read_form_ref(typed, desk), read_range(typed, next(iter(guide.series.values())), desk)]
        read.append(read_number(typed, desk.number_table))
        assert all(value is None or isinstance(value, NumberFailure) for value in read), one
    read_plain_range(Text(f"CX{many}..CX{many}", Place("x.yml")), desk)

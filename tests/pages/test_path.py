"""Where one stands in the key as text: in the address, and as the line that is pasted, as `ask` takes it."""

from __future__ import annotations

import json
import pathlib
import shlex
from typing import Any

import pytest

from guide.command.main import main
from guide.words.say import load_words
from tests.pages.scripts import evaluate

KEY = {
    "marks": {
        "switches": {"forms": {"toggle": {}, "rocker": {}, "symbols": {}}},
        "tail-lamps": {"forms": {"round": {}, "oblong": {}}},
    },
    "formerly": {"marks": {"rear-lamps": "tail-lamps"}, "forms": {"switches": {"lever": "toggle"}}},
    "reaches": ["photographs", "outside", "glass", "door"],
}


WORDS = {name: text for name, text in load_words("de").templates.items() if name.startswith(("words.", "facts.heard."))}


def path(node: str, expression: str, **given: Any) -> Any:
    return evaluate(node, ("path", "dates_in_words"), expression, {"key": KEY, **given})


def read_line(node: str, text: str) -> Any:
    run = """guide.path.readLine(given.text, Object.assign({
      dates: guide.datesInWords.reader(given.words, { month: 30 }, "1962-05-01") }, given.key))"""
    return path(node, run, text=text, words=WORDS)


STATES = [
    "#switches=rocker",
    "#switches=toggle+rocker&tail-lamps=cannot-tell&--car=C1912&--reach=outside,glass",
    "#tail-lamps=changed&--reach=door&--known=registered=1968-07&--edition=2026%20autumn&--look=switches&--several&--on",
    "#switches=none&--at=result",
    "#--car=C%201912%20L&--at=begin",
    "#switches=rocker&%&--car=%E0",
]


@pytest.mark.parametrize("hash_", STATES)
def test_an_address_reads_back_as_itself(node: str, hash_: str) -> None:
    assert path(node, "guide.path.hashOf(guide.path.readHash(given.hash, given.key))", hash=hash_) == hash_


def test_an_answer_in_the_address_is_read_by_ids(node: str) -> None:
    state = path(node, "guide.path.readHash(given.hash, given.key)", hash=STATES[1])
    assert state["answers"] == [
        {"mark": "switches", "forms": ["toggle", "rocker"], "kind": "several"},
        {"mark": "tail-lamps", "forms": [], "kind": "cannot-tell"},
    ]
    assert (state["car"], state["reach"], state["lost"]) == ("C1912", ["outside", "glass"], [])


def test_former_ids_lead_to_the_present_ones(node: str) -> None:
    state = path(node, "guide.path.readHash('#rear-lamps=round&switches=lever', given.key)")
    assert [answer["mark"] for answer in state["answers"]] == ["tail-lamps", "switches"]
    assert state["answers"][1]["forms"] == ["toggle"]


def test_an_answer_that_is_no_longer_in_the_guide_is_listed_and_left_out(node: str) -> None:
    state = path(node, "guide.path.readHash('#switches=rocker&horn=gold&tail-lamps=square', given.key)")
    assert [answer["mark"] for answer in state["answers"]] == ["switches"]
    assert state["lost"] == ["horn=gold", "tail-lamps=square"]
    assert path(node, "guide.path.hashOf(guide.path.readHash('#horn=gold', given.key))") == "#horn=gold"


def test_the_last_word_on_a_part_counts(node: str) -> None:
    state = path(node, "guide.path.readHash('#switches=rocker&switches=toggle', given.key)")
    assert [answer["forms"] for answer in state["answers"]] == [["toggle"]]


@pytest.mark.parametrize("hash_", ["#%E0%A4%A", "#=", "#&&&", "#--reach", "#--car=", "##", "#--known=registered", "#x"])
def test_a_spoilt_address_never_stops_the_key(node: str, hash_: str) -> None:
    state = path(node, "guide.path.readHash(given.hash, given.key)", hash=hash_)
    assert (state["answers"], state["car"], state["known"]) == ([], None, {})


@pytest.mark.parametrize(
    ("known", "kept"),
    [
        ("registered=1968-07", True),
        ("titled=1968", True),
        ("despatched=1968-02-29", True),
        ("model-year=1969", True),
        ("part:switches=1968-03", True),
        ("registered=1968-02-30", False),
        ("registered=1968-13", False),
        ("registered=soon", False),
        ("part:gold=1968", False),
        ("sold=1968", False),
        ("registered=0000", False),
    ],
)
def test_only_what_can_be_known_beforehand_is_taken(node: str, known: str, kept: bool) -> None:
    state = path(node, "guide.path.readHash('#--known=' + given.known, given.key)", known=known)
    assert state["known"] == (dict([known.split("=")]) if kept else {})


def test_the_line_leaves_the_number_out_unless_it_is_asked_for(node: str) -> None:
    line = "guide.path.lineOf(guide.path.readHash(given.hash, given.key), '2026 autumn', given.number)"
    assert path(node, line, hash=STATES[1], number=False) == (
        'switches=toggle+rocker tail-lamps=cannot-tell --reach outside,glass --edition "2026 autumn"'
    )
    assert path(node, line, hash=STATES[1], number=True) == (
        'switches=toggle+rocker tail-lamps=cannot-tell --car "C1912" --reach outside,glass --edition "2026 autumn"'
    )


@pytest.mark.parametrize(
    "text",
    [
        'switches=rocker tail-lamps=round --car "C 1912" --reach outside,glass --edition "2026 autumn"',
        "Dear Jo,\n> This car was very probably built between June and October 1968.\n"
        "> switches=rocker tail-lamps=round \u2014car \u201cC 1912\u201d \u2014reach outside,glass "
        "\u2013edition \u201c2026 autumn\u201d\n",
        'switches=rocker\ntail-lamps=round\n--car="C 1912"\n--reach=outside,glass\n--edition="2026 autumn"',
        "> Switches=rocker, (tail-lamps=round). --car\n> \u201eC 1912\u201c --reach\n> outside,glass "
        "--edition \u00ab2026 autumn\u00bb",
        "Look: <https://guide.example/tern/key.html?light=sun#switches=rocker&tail-lamps=round&--car=C%201912"
        "&--reach=outside,glass&--edition=2026%20autumn&--at=look&--look=horn&--on>.",
        # blanks that do not break, one that cannot be seen, and full-width signs
        "switches\uff1drocker\u00a0tail-\u00adlamps=ro\u200bund\u00a0--car\u00a0\u201cC\u00a01912\u201d\u202f--reach\u00a0outside,glass"
        "\u00a0--edition\u00a0\u201c2026\u00a0autumn\u201d",
        # as typed for a shell, and as a telephone writes such quotes
        "python build.py ask switches=rocker tail-lamps=round --car 'C 1912' --reach 'outside,glass' "
        "--edition \u20182026 autumn\u2019.",
        # broken by a mail program wherever it saw fit, and quoted twice
        '> > switches=\n> > rocker tail-\n> > lamps=round --car "C\n> > 1912" '
        '--reach outside,glass --edition "2026\n> > autumn"',
        # quoted-printable (RFC 2045), as a message is when it is saved or forwarded raw
        "switches=3Drocker tail-la=\nmps=3Dround =E2=80=94car =E2=80=9CC 1912=E2=80=9D "
        '=E2=80=94reach outside,glass =E2=80=94edition "2026 autumn"',
        # copied out of a page's source, and with blanks round the sign
        "switches&#61;rocker&nbsp;tail-lamps = round --car &quot;C 1912&quot; "
        "--reach outside,glass --edition &quot;2026 autumn&quot;",
        # an address that was cut beside the whole line
        "https://guide.example/tern/key.html#switches=rocker&tail-\nlamps=round&--at=result\n"
        'switches=rocker tail-lamps=round --car "C 1912" --reach outside,glass --edition "2026 autumn"',
    ],
)
def test_a_pasted_message_gives_its_answers_however_a_mail_program_dressed_it(node: str, text: str) -> None:
    state = read_line(node, text)
    assert [(answer["mark"], answer["forms"]) for answer in state["answers"]] == [
        ("switches", ["rocker"]),
        ("tail-lamps", ["round"]),
    ]
    assert (state["car"], state["reach"], state["edition"]) == ("C 1912", ["outside", "glass"], "2026 autumn")


def test_an_address_that_is_pasted_opens_no_screen_of_its_own(node: str) -> None:
    state = read_line(node, "file:///stick/key.html#switches=rocker&--look=tail-lamps&--several&--on&--at=begin")
    assert (state["at"], state["look"], state["several"], state["on"]) == (None, None, False, False)
    assert read_line(node, "key.html#about switches=rocker")["answers"][0]["forms"] == ["rocker"]


def test_the_line_is_what_the_terminal_takes(node: str, capsys: pytest.CaptureFixture[str], root: pathlib.Path) -> None:
    written = "guide.path.lineOf(guide.path.readHash(given.hash, given.key), '2020 spring', true)"
    line = path(node, written, hash=STATES[1])
    call = ["ask", *shlex.split(line), "--content", str(root / "content")]
    assert main([*call, "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert [(answer["mark"], answer["forms"], answer["kind"]) for answer in said["answers"]] == [
        ("switches", ["toggle", "rocker"], "several"),
        ("tail-lamps", [], "cannot-tell"),
    ]
    assert (said["car"], said["reach"]) == ("C1912", ["outside", "glass"])
    assert main(call) == 0
    assert "These answers were given with another edition of the guide (2020 spring)" in capsys.readouterr().out


def test_a_message_without_answers_gives_none(node: str) -> None:
    assert read_line(node, "See you at the field on Sunday, bring 2 chairs.")["answers"] == []


def test_changing_an_answer_keeps_its_place_and_the_answers_after_it(node: str) -> None:
    changed = path(
        node,
        """guide.path.hashOf(guide.path.answered(
        guide.path.readHash('#switches=rocker&tail-lamps=round&--look=switches&--at=result', given.key),
        {mark: 'switches', forms: ['toggle'], kind: 'form'}))""",
    )
    assert changed == "#switches=toggle&tail-lamps=round"


@pytest.mark.parametrize(
    ("pasted", "known"),
    [
        ('--known registered="März 1968"', "1968-03"),
        ('--known "registered=12. März 1968"', "1968-03-12"),
        ("--known 'registered=Aug 4, 1968'", "1968-08-04"),
        ("\u2014known registered=\u201cmai 1968\u201d", "1968-05"),
        ("--known registered=1968-03", "1968-03"),
        ('--known "registered=spring 1968"', "1968-03-01/1968-05-31"),
        ("--known registered=Frühjahr 1968", "1968-03-01/1968-05-31"),
        ("--known registered=Mitte\n> Dezember 1967,", "1967-12-11/1967-12-20"),
        ("--known registered=zwischen März und Mai 1968", "1968-03-01/1968-05-31"),
        ("--known registered=late 1967 --reach glass", "1967-09-01/1967-12-31"),
        ("--known registered=etwa Mai 1968 tail-lamps=round", "1968-04-01/1968-06-30"),
        ("--known registered=1968-03-12. Then he wrote more", "1968-03-12"),
    ],
)
def test_a_pasted_date_may_be_in_words(node: str, pasted: str, known: str) -> None:
    state = read_line(node, f"switches=toggle {pasted} --edition x")
    assert (state["known"], state["lost"]) == ({"registered": known}, [])


@pytest.mark.parametrize(
    "pasted", ['--known "registered=31 April 1968"', "--known registered=soon", "--known bought=1968"]
)
def test_a_pasted_date_that_cannot_be_read_is_not_passed_over(node: str, pasted: str) -> None:
    state = read_line(node, f"switches=toggle {pasted}")
    assert state["known"] == {}
    assert [one.startswith("--known=") for one in state["lost"]] == [True]
    assert (
        path(node, "guide.path.readHash(guide.path.hashOf(given.state), given.key)", state=state)["lost"]
        == state["lost"]
    )

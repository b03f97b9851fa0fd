"""The mistakes of an editor's day: what is typed in place of what, which finding comes first, and how it is mended.

``put_right`` is what the finding must name for whoever reads it to know what to do. Where it is empty the mend is
mechanical: what the finding says to write is typed in by the test, and the guide is good again. ``more`` is how many
findings there are besides the cause; of most mistakes there is one and no more.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["MEANT", "MISTAKES", "Mistake"]


@dataclass(frozen=True, slots=True)
class Mistake:
    """One mistake. ``line`` is where its finding stands; 0: the first line that differs from what was right."""

    file: str
    right: str
    wrong: str | bytes
    code: str
    put_right: str = ""
    line: int = 0
    more: int = 0
    follows: tuple[str, ...] = ()  # the kinds of these, where they have no case of their own
    at: str = ""  # the file that the finding stands in, where that is not the one that was typed in
    becomes: str = ""  # the name that the file is given
    encoding: str = "utf-8"  # what it is saved in
    besides: tuple[tuple[str, str, str], ...] = ()  # what has to stand there for it: file, what is replaced, by what
    mend: tuple[tuple[str, str, str], ...] = ()  # what somebody types who follows the put-right, likewise

    @property
    def id(self) -> str:
        """What a test is called."""
        return f"{self.code}: {(self.becomes or str(self.wrong).strip())[:40]!r} in {self.file}"


M = Mistake
GUIDE, SWITCHES, DIALS, BELTS = "guide.yml", "marks/switches.yml", "marks/dials.yml", "marks/belts.yml"
COUPE, OPEN, SEEN = "numbers/coupe.yml", "numbers/open.yml", "cars-seen/field-day.csv"
SOURCES, PERIODS, AREAS = "sources.yml", "periods.yml", "areas.yml"

# Colons, blanks, quotes, brackets: what the file's own form asks for.
_FORM = (
    M(SWITCHES, "answer: Round metal toggles", "answer: Round: metal toggles", "colon-in-text"),
    M(SWITCHES, "look: The row below the dials.", "look: The row: below the dials.", "colon-in-text"),
    M(PERIODS, 'summary: "Toggles, and static belts."', "summary: Toggles: and belts", "colon-in-text"),
    M(SWITCHES, "    name: Toggles", "\tname: Toggles", "tab", "spaces"),
    M(SWITCHES, "    name: Toggles", "    name:Toggles", "no-blank"),
    M(SWITCHES, "    name: Toggles", "    name:\u00a0Toggles", "no-blank"),
    M(SWITCHES, "      - {seen: C1612,", "      -{seen: C1612,", "no-blank"),
    M(BELTS, "reach: door", "reach:door", "no-blank"),
    M(SWITCHES, "    name: Toggles", "    name; Toggles", "no-colon"),
    M(SWITCHES, "    name: Toggles", "    name = Toggles", "no-colon"),
    M(SWITCHES, "    name: Toggles", "    name Toggles", "no-colon"),
    M(SWITCHES, "reach: glass", "reach glass", "no-colon"),
    M(SWITCHES, 'aside: "newsletter 37 last 1967-11"', 'aside: "newsletter 37 last 1967-11', "unclosed-quotes", '"'),
    M(PERIODS, 'summary: "Toggles, and static belts."', "summary: Toggles, and static belts.", "unknown-key", "quotes"),
    M(SWITCHES, "{last: C1840, source: bulletin-7, page: 3}", "{last: C1840 source: bulletin-7, page: 3}", "no-comma"),
    M(PERIODS, "{name: Early, from: 1967-04-10,", "{name: Early from: 1967-04-10,", "no-comma"),
    M(SOURCES, "kind: ledger, trust: high", "kind: ledger trust: high", "no-comma"),
    M(SWITCHES, "{seen: C2110, source: register}", "{seen: C2110, source: register", "unclosed-bracket", "}"),
    M(SWITCHES, "order: [toggle, rocker]", "order: [toggle, rocker", "unclosed-bracket", "]"),
    M(SWITCHES, "order: [toggle, rocker]", "order: toggle, rocker]", "unclosed-bracket"),
    M(SWITCHES, "    name: Toggles", "     name: Toggles", "indentation", "the same number of spaces"),
    M(SWITCHES, "    answer: Round metal toggles", "   answer: Round metal toggles", "indentation", "the same number"),
    M(SWITCHES, "reach: glass", "reach: glass\nreach: glass", "repeated-key", "rename one", line=5),
    M(SWITCHES, "answer: Round metal toggles", "answer: Round #2 toggles", "cut-by-hash", "quotes"),
    M(SWITCHES, "answer: Round metal toggles", "answer: *Round metal toggles", "yaml-alias"),
    M(SWITCHES, "answer: Round metal toggles", "answer: @ Round metal toggles", "needs-quotes"),
    M(SWITCHES, "answer: Round metal toggles", "answer: | Round metal toggles", "needs-quotes"),
    M(SWITCHES, "answer: Round metal toggles", 'answer: "Round" metal toggles', "needs-quotes"),
    M(SWITCHES, "answer: Round metal toggles", "answer: 'The driver's toggles'", "needs-quotes"),
    M(SWITCHES, "answer: Round metal toggles", "answer: &round metal toggles", "needs-quotes", "quotes"),
    M(SWITCHES, "answer: Round metal toggles", 'answer: "Round \\metal toggles"', "bad-escape", "single quotes"),
    M(SWITCHES, "answer: Round metal toggles", "answer: !round metal toggles", "yaml-tag", "quotes"),
    M(SWITCHES, "answer: Round metal toggles", "answer: *toggles", "yaml-alias"),
    M(SWITCHES, "reach: glass", "<<: {}\nreach: glass", "merge-key", "write the lines out", line=4),
    M(SWITCHES, "reach: glass", "[a]: b\nreach: glass", "key-not-text", "a word followed by a colon", line=4),
    M(SWITCHES, "reach: glass", "reach: glass\n---\n", "second-document", "delete the line", line=5),
    M(SWITCHES, "look: The row below", "look: The row\u200b below", "invisible-character", "delete it"),
    M(SWITCHES, "look: The row below", "look: The row\x07 below", "control-character", "delete it"),
)

# What a word processor, a web page or the hand make of a list in braces.
_SET = (
    M(SWITCHES, "{last: C1840, source: bulletin-7, page: 3}", "{last:C1840, source: bulletin-7, page: 3}", "no-blank"),
    M(SWITCHES, "{last: C1840, source: bulletin-7, page: 3}", "{last: C1840; source: bulletin-7, page: 3}", "no-comma"),
    M(SWITCHES, "{seen: C2110, source: register}", "(seen: C2110, source: register)", "unclosed-bracket"),
    M(SWITCHES, "- {seen: C2110, source: register}", "• {seen: C2110, source: register}", "no-blank"),
    M(SWITCHES, "- {seen: C2110, source: register}", "– {seen: C2110, source: register}", "no-blank"),
    M(SWITCHES, "{seen: C2110, source: register}", "seen: C2110 source: register", "no-comma"),
    M(SWITCHES, "order: [toggle, rocker]", "order: toggle, rocker", "unknown-form"),
    M(SWITCHES, "order: [toggle, rocker]", "order: toggle rocker", "unknown-form"),
    M(DIALS, "last: 1969-11", "last: 1969/11", "slashed-date"),
    M(DIALS, "last: 1969-11", "last: not known", "bad-when", "leave the line out"),
    M(SWITCHES, "{seen: C1612,", "{seen: C1612-C1620,", "not-a-number", "or `about C1612`"),
    M(SWITCHES, "{seen: C1612,", "{seen: C1612 or C1620,", "not-a-number", "or `about C1612`"),
)

# Keys: which there are, which are needed, what each takes.
_KEYS = (
    M(SWITCHES, "    answer: Round metal toggles", "    anwser: Round metal toggles", "unknown-key"),
    M(SWITCHES, "    name: Toggles", "    Name: Toggles", "unknown-key"),
    M(SWITCHES, "question: What do", "Question: What do", "unknown-key"),
    M(SWITCHES, "forms:", "form:", "unknown-key"),
    M(SWITCHES, "    stated:\n      - {last", "    statements:\n      - {last", "unknown-key", "stated"),
    M(SWITCHES, "source: newsletter 37", "sources: newsletter 37", "unknown-key"),
    M(SWITCHES, "survives: most\n", "", "missing-key", "survives", line=1),
    M(SWITCHES, "question: What do the small switches look like?", "question:", "missing-key", "question", line=1),
    M(GUIDE, "edition: a test\n", "", "missing-key", "edition", line=1),
    M(SOURCES, "kind: ledger, ", "", "missing-key", "kind"),
    M(SWITCHES, "name: Small switches", "name: [Small switches]", "wrong-shape", "alone, without a list"),
    M(SWITCHES, "look: The row below the dials.", "look: {below: dials}", "wrong-shape", "quotes"),
    M(SWITCHES, "reach: glass", "reach: inside", "unknown-choice", "write seat"),
    M(SWITCHES, "reach: glass", "reach: Windscreen", "unknown-choice", "write glass"),
    M(SWITCHES, "reach: glass", "reach: underneath", "unknown-choice", "write one of photographs, outside"),
    M(SWITCHES, "reach: glass", "reach: gless", "unknown-choice"),
    M(SWITCHES, "survives: most", "survives: many", "unknown-choice", "write most"),
    M(SOURCES, "kind: ledger, trust: high", "kind: ledger, trust: low", "unknown-choice", "write poor"),
    M(SOURCES, "kind: ledger, trust: high", "kind: ledger, trust: medium", "unknown-choice", "write fair"),
    M(SWITCHES, "{service part: {", "{spare: {", "unknown-choice", "write service part"),
    M(SWITCHES, "{service part: {", "{standard: {", "unknown-choice", "write factory"),
    M(DIALS, "in photographs: yes", "in photographs: oui", "unknown-choice", "yes or no"),
    M(COUPE, "built: never", "built: none", "unknown-choice", "never"),
    M(DIALS, "misread: 2 in 100", "misread: 120 %", "bad-share", "4 in 10"),
    M(GUIDE, "share: 1 in 10", "share: seldom", "bad-share", "4 in 10"),
    M(GUIDE, "made: 3600", "made: 3.600", "not-a-whole-number"),
    M(GUIDE, "made: 3600", "made: 3,600", "not-a-whole-number"),
    M(GUIDE, "made: 3600", "made: lots", "not-a-whole-number", "digits only"),
    M(COUPE, "out of order: 10", "out of order: ten", "not-a-whole-number", "digits only"),
    M(GUIDE, "about month days: 20", "about month days: 20,5", "not-a-number-typed", "30"),
    M(GUIDE, "about month days: 20", "about month day: 20", "unknown-constant"),
    M(GUIDE, "fine enough: 3 months", "fine enough: a quarter", "bad-duration", "3 months"),
    M(GUIDE, "format: 1", "format: 2", "unknown-format", "another release"),
    M(GUIDE, "language: en-GB", "corrections: The editor\nlanguage: en-GB", "bad-corrections", "without mailto:"),
    M(GUIDE, "language: en-GB", "language: en_GB", "bad-language-tag"),
    M(GUIDE, "language: en-GB", "language: English", "bad-language-tag", "en-GB"),
    M(GUIDE, "licence: CC-BY-SA-4.0", "licence: CC BY-SA", "unknown-licence", "CC-BY-SA-4.0"),
    M("interiors.yml", "material: cloth,", "material: cloth, swatch: tan,", "not-a-colour", "six digits"),
    M("care/old-belts.yml", "cause: Light", "table: [[a, b], [c]]\ncause: Light", "bad-table", "[cell, cell]", line=4),
    M(SOURCES, "kind: ledger, trust", "kind: ledger, scan: page one, trust", "bad-scan", "bulletin-7.jpg"),
    M(SWITCHES, "{first: about May 1968,", "{old stock: 3, first: about May 1968,", "goes-with", "`last:`"),
    M(SWITCHES, "{first: about May 1968, source", "{source", "one-of", "first: 1968-05"),
    M(SWITCHES, '{set aside: "newsletter', '{read: ledger, set aside: "newsletter', "one-of", "`read:` with `as:`"),
    M(SWITCHES, "{form: symbols, tell", "{form: symbols, what: a cap, tell", "one-of", "the form's id"),
)

# When: dates and cars as people write them.
_WHEN = (
    M(DIALS, "last: 1969-11", "last: November 1969 or so", "bad-when"),
    M(DIALS, "last: 1969-11", "last: Mai 1969", "bad-date"),
    M(DIALS, "last: 1969-11", "last: März 1969", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 3. Oktober 1969", "bad-date"),
    M(DIALS, "last: 1969-11", "last: novembre 1969", "bad-date"),
    M(DIALS, "last: 1969-11", "last: marzo 1969", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 1 mei 1969", "bad-date"),
    M(DIALS, "last: 1969-11", "last: March 1, 1969", "bad-date"),
    M(GUIDE, "first: 1967-04-10, last", "first: April 10, 1967, last", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 01.06.69", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 01.06.1969", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 11/1969", "slashed-date"),
    M(DIALS, "last: 1969-11", "last: 3/4/69", "slashed-date", "1968-04-03"),
    M(DIALS, "last: 1969-11", "last: Nov-69", "spreadsheet-date", "1968-03"),
    M(DIALS, "last: 1969-11", "last: 25508", "spreadsheet-date"),
    M(DIALS, "last: 1969-11", "last: Nov '69", "bad-date", "1968"),
    M(DIALS, "last: 1969-11", "last: 69-11", "bad-date", "1968"),
    M(DIALS, "last: 1969-11", "last: 1969-1", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 196911", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 1969-13", "impossible-date", "01 to 12"),
    M(DIALS, "last: 1969-11", "last: 30 February 1969", "impossible-date", "1 to 28"),
    M(DIALS, "last: 1969-11", "last: the end of 1969", "bad-date"),
    M(DIALS, "last: 1969-11", "last: 1969-11-30 to 1969-11-01", "inverted-range", "earlier one first"),
    M(DIALS, "last: 1969-11", "last: 6.200", "short-number", "C####"),
    M(DIALS, "last: 1969-11", "last: MY70", "not-a-build-date", "`model years:`"),
    M(DIALS, "last: 1969-11", "last: start of middle", "unknown-period", "periods.yml"),
    M(GUIDE, "from: 1970-02-03, to", "from: 1970-02, to", "day-needed", "1968-05-24"),
    M(GUIDE, "from: 1970-02-03, to", "from: 1970-12-03, to", "inverted-range", "exchange"),
    M(GUIDE, "first: 1967-04-10", "first: 1976-04-10", "inverted-range", "exchange"),
    M(PERIODS, "from: 1969-01-01, to: 1972-10-20", "from: 1972-10-20, to: 1969-01-01", "inverted-range", "exchange"),
    M(SWITCHES, "from: 1975,", "from: 1975, to: 1971,", "inverted-range", "exchange"),
)

# Numbers.
_NUMBERS = (
    M(SWITCHES, "last: C1840", "last: C184O", "not-a-number"),
    M(SWITCHES, "last: C1840", "last: Cl840", "not-a-number"),
    M(SWITCHES, "seen: C2110", "seen: C2II0", "not-a-number"),
    M("statements.csv", "belts,static,seen,D210", "belts,static,seen,D21O", "not-a-number"),
    M(COUPE, "1968-05: C1866", "1968-05: C1B66", "not-a-number"),
    M(SWITCHES, "last: C1840", "last: 1840", "short-number"),
    M(SWITCHES, "last: C1840", "last: C184", "short-number", "C####"),
    M(SWITCHES, "last: C1840", "last: C2950", "number-not-in-tables", "runs"),
    M(SWITCHES, "last: C1840", "last: from C1840", "bad-when"),
    M(SWITCHES, "last: C1840", "last: ABC 123D", "registration-as-number", "C####"),
    M(SWITCHES, "last: C1840", "last: X1840", "not-a-number", "C####"),
    M(SWITCHES, "last: C1840", "last: C1840X", "not-a-number", "C####"),
    M(COUPE, "cars: C1001..C2900", "cars: C1001-C2900", "bad-range"),
    M(COUPE, "cars: C1001..C2900", "cars: C1001–C2900", "bad-range"),
    M(COUPE, "cars: C1001..C2900", "cars: C2900..C1001", "inverted-range"),
    M(COUPE, "cars: C1001..C2900", "cars: C1001..D2900", "not-a-number", "C####"),
    M(COUPE, "cars: C3001..C4200", "cars: C2990..C4200", "overlapping-runs", "in one run"),
    M(COUPE, 'written: "C####"', 'written: "C"', "bad-notation", "# for each digit"),
    M(COUPE, "1968-12: C2300", "1968-12: C1800", "calendar-out-of-order", "one of the two lines"),
    M(COUPE, "1968-12: C2300", "about 1968: C2300", "bad-date", "1968-05"),
    M(COUPE, "suffixes: {L: {hand: left}}", "suffixes: {L: {hand: lefft}}", "unknown-scope"),
    M(COUPE, "suffixes: {L: {hand: left}}", "suffixes: {L: {hands: left}}", "unknown-scope"),
    M(COUPE, "body: coupé", "check digit: maybe\nbody: coupé", "unknown-choice", "yes or no", line=2),
)

# One thing named by another.
_NAMES = (
    M(SWITCHES, "  toggle:\n", "  Toggle:\n", "bad-id"),
    M(SWITCHES, "  toggle:\n", "  round toggle:\n", "bad-id", "round-toggle"),
    M(SWITCHES, "  symbols:\n", "  none:\n", "reserved-id", "none-form", more=1),
    M(SWITCHES, "  symbols:\n", "  aux:\n", "reserved-name", "aux-part", more=1),
    M(PERIODS, "late: {formerly", "Late: {formerly", "bad-id"),
    M(SOURCES, "ledger: {name", "Ledger: {name", "bad-id"),
    M("interiors.yml", "tan-cloth: {", "tan cloth: {", "bad-id"),
    M(AREAS, "cabin: {", "Cabin: {", "bad-id"),
    M(SWITCHES, "order: [toggle, rocker]", "order: [toggel, rocker]", "unknown-form"),
    M(SWITCHES, "order: [toggle, rocker]", "order: [toggle, toggle]", "unknown-spell", "`spells:`"),
    M(SWITCHES, "order: [toggle, rocker]", "order: [toggle, symbols]", "order-without-works", "take it out"),
    M(SWITCHES, "in place of: [toggle, rocker]", "in place of: [toggle, roker]", "unknown-form"),
    M(SWITCHES, "source: bulletin-7, page: 3", "source: bulletin7, page: 3", "unknown-source"),
    M(SWITCHES, "source: bulletin-7, page: 3", "source: bulletin-9, page: 3", "unknown-source", "or add it there"),
    M(SWITCHES, "source: newsletter 37", "source: newsletter 73", "unknown-source", "issues"),
    M(AREAS, "[switches, dials]", "[switchs, dials]", "unknown-mark"),
    M(AREAS, "[switches, dials]", "[switches]", "mark-without-area", "areas.yml", line=1, at=DIALS),
    M(AREAS, "marks: [belts]", "marks: [belts, dials]", "mark-in-two-areas", "leave it in the one"),
    M(GUIDE, "marks: [switches, belts]", "marks: [switches, belt]", "unknown-mark"),
    M(GUIDE, "{market: continent, from", "{market: continental, from", "unknown-split-value", "continent"),
    M(GUIDE, "home, hand: right}", "home, hand: Right}", "unknown-split-value"),
    M(DIALS, "for: {hand: right}", "for: {hand: Right}", "unknown-scope"),
    M(DIALS, "for: {hand: right}", "for: {body: right}", "unknown-scope", "hand, market"),
    M(DIALS, "for: {hand: right}", "for: rigth", "unknown-scope"),
    M(GUIDE, "why: strike,", "why: strike, series: coup,", "unknown-series"),
    M(BELTS, "{from: static, to: reel", "{from: static, to: static", "self-reference", "the form that follows"),
    M(SWITCHES, "{first: about May", "{after: a/b/c/d, first: about May", "bad-form-reference", "mark/form"),
    M(SWITCHES, "newsletter 37 last 1967-11", "newsletter 37 last 1967-10", "ruling-names-nothing"),
    M(SWITCHES, "37 last 1967-11", "37 last 1967-11x", "ruling-names-nothing"),
    M(
        GUIDE,
        "share: 1 in 10}",
        "share: 1 in 10}\n  - {name: new dash, marks: [belts], share: 1 in 20}",
        "renewed-twice",
        "leave it in one",
        line=24,
    ),
    M(SEEN, "yes,toggle,bright", "yes,togle,bright", "set-aside"),
    M(SEEN, "left,tan-cloth", "left,tan-clth", "set-aside"),
    M(SEEN, "left,tan-cloth", "lefft,tan-cloth", "set-aside"),
)

# Files.
_SVG = "pictures/switches-toggle.svg"
_FILES = (
    M("guide.yml", "", "", "no-guide", "`start`", becomes="guide.txt", line=1),
    M("guide.yml", "", "", "no-guide", "`start`", becomes="Guide.yml", line=1, more=1),
    M(PERIODS, "*", "\n", "empty-file", "take the file away", line=1),
    M(GUIDE, "*", "\n", "no-guide", "`format: 1`", line=1),
    M(SWITCHES, "", "", "bad-id", "write switches", becomes="marks/Switches.yml", line=1, at="marks/Switches.yml"),
    M(BELTS, "", "", "bad-id", "write belts", becomes="marks/Belts.yml", line=1, at="marks/Belts.yml"),
    M(COUPE, "", "", "bad-id", "write coupe", becomes="numbers/Coupé.yml", line=1, at="numbers/Coupé.yml"),
    M(BELTS, "", "", "reserved-name", "another word", becomes="marks/con.yml", line=1, at="marks/con.yml", more=1),
    M(
        SWITCHES,
        "",
        "",
        "file-misplaced",
        "switches.yml",
        becomes="marks/switches.yml.txt",
        line=1,
        at="marks/switches.yml.txt",
    ),
    M(BELTS, "", "", "file-misplaced", "belts.yml", becomes="marks/belts.yaml", line=1, at="marks/belts.yaml"),
    M("words.yml", "", "", "file-not-read", "words.yml", becomes="vocabulary.yml", line=1, at="vocabulary.yml"),
    M(BELTS, "", "", "file-misplaced", "move it", becomes="mark/belts.yml", line=1, at="mark/belts.yml"),
    M(SWITCHES, "", "", "not-utf-8", "UTF-8", encoding="utf-16", line=1),
    M(COUPE, "", "", "not-utf-8", "UTF-8", encoding="cp1252", line=1),
    M(SEEN, "bright,static\n", "bright,static,at dusk\n", "set-aside", "quotes"),
    M("marks/Dials.yml", "", "name: x\n", "same-name", "rename one", line=1, at="marks/dials.yml"),
    M("cars-seen/Buch.xlsx", "", "PK", "file-not-read", "CSV", line=1),
    M("pictures/horn-ring.svg", "", "<svg/>", "picture-unreadable", "plain SVG", line=1, more=1),
    M(
        _SVG,
        "",
        "",
        "missing-picture",
        "switches_toggle.svg is there",
        becomes="pictures/switches_toggle.svg",
        line=8,
        at=SWITCHES,
    ),
    M(
        _SVG,
        "",
        "",
        "missing-picture",
        "Switches-Toggle.svg is there",
        becomes="pictures/Switches-Toggle.svg",
        line=8,
        at=SWITCHES,
    ),
    M(
        _SVG,
        "",
        "",
        "missing-picture",
        "put the drawing in pictures/",
        becomes="switches-toggle.svg",
        line=8,
        at=SWITCHES,
    ),
    M(
        "pictures/old-lamp.svg",
        "",
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0H9"/></svg>',
        "picture-unused",
        "name it where it belongs",
        line=1,
    ),
)

_DRAWN = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">{}<path d="M0 0H9{}"/></svg>'
_ABOUT = "A small guide, to be spoilt in a hundred ways."
_TEXTS = (
    M(_SVG, "*", _DRAWN.format("<text>on</text>", ""), "drawing-cleaned", "draw with path", line=1),
    M(_SVG, "*", _DRAWN.format("", " L0 0" * 8000), "drawing-heavy", "leave out", line=1),
    M("about.md", _ABOUT, "See [the dials](mark:dial).", "link-dangling", "link to one that is there", line=1),
    M("about.md", _ABOUT, "See [this](javascript:x).", "link-refused", "https://", line=1),
    M("about.md", _ABOUT, "![A lamp](lamp.svg)", "text-picture-missing", "in pictures/", line=1),
    M("about.md", _ABOUT, "![](belts-reel.svg)", "picture-without-words", "![what it shows]", line=1),
    M("about.md", _ABOUT, "|a|b|\n|---|---|\n|1|2|3|", "table-cells-lost", "one more column", line=3),
)

# Tables.
CSV = "statements.csv"
_TABLES = (
    M(CSV, "mark,form,kind", "mark,form,sort", "missing-key", "kind", line=1, more=1),
    M(CSV, "dials,bright,seen", "dial,bright,seen", "unknown-mark"),
    M(CSV, "dials,bright,seen", "dials,brigth,seen", "unknown-form"),
    M(CSV, "dials,bright,seen", "dials,bright,saw", "unknown-choice"),
    M(CSV, "dials,bright,seen,C2210", "dials,bright,seen,", "missing-key", "fill it in"),
    M(
        CSV,
        "dials,black,seen,C3050,register,12,right",
        'dials,black,seen,C3050,register,"12,right',
        "unclosed-quotes",
        "at its end",
    ),
    M(
        CSV,
        "dials,black,seen,C3050,register,12",
        "dials,black,last,03/04/1971,register,12",
        "day-or-month",
        "1971-04-03 or 1971-03-04",
    ),
    M(SEEN, "dials,belts\n", "dials,belts,Zuruf\n", "column-not-read", "private"),
    M(SEEN, "C1210,2026-06-14", "ABC 123D,2026-06-14", "seen-registration", "chassis number"),
    M(SEEN, "C1210,2026-06-14", "C121O,2026-06-14", "seen-number-unread", "C1210"),
    M(SEEN, "C1210,2026-06-14", "no plate,2026-06-14", "seen-number-unread", "leave the cell blank"),
    M(SEEN, "C1210,2026-06-14", "C9210,2026-06-14", "seen-not-in-tables", "plate"),
    M(SEEN, "C3350,2026-06-14", "C3350,14.6.26", "set-aside", "2026-06-14"),
    M(SEEN, "C3350,2026-06-14", "C3350,1926-06-14", "day-off"),
    M(SEEN, "C3350,2026-06-14", "C3350,2926-06-14", "set-aside", "1968"),
)

# Days that cannot be, ids of old.
_SILENT = (
    M(GUIDE, "dials: 120 80", "dials: middle", "bad-spot", "30 42"),
    M(GUIDE, ", belts: 30 30", "", "mark-without-spot", "30 42"),
    M(GUIDE, "belts: 30 30", "belts: 300 30", "spot-outside", "box"),
    M(SWITCHES, "on: 2026-10-01", "on: 2126-10-01", "day-off"),
    M(SWITCHES, "on: 2026-10-01", "on: 1926-10-01", "day-off"),
    M(SOURCES, "dated: 1968-06", "dated: 1868-06", "day-off"),
    M(SOURCES, "dated: 1968-06", "dated: 2068-06", "day-off"),
    M(DIALS, "last: 1969-11", "last: 1869-11", "outside-production", "date"),
    M(DIALS, "order: [bright, black]", "order: [chrome, black]", "unknown-form", "bright, as chrome is called now"),
    M(DIALS, "order: [bright, black]", "order: [brite, black]", "unknown-form"),
    M(AREAS, "[switches, dials]", "[switches, clocks]", "unknown-mark", "dials, as clocks is called now"),
    M(GUIDE, "why: strike,", "why: strike, series: roadster,", "unknown-series", "open, as roadster is called now"),
    M(DIALS, "for: {hand: right}", "for: roadster", "unknown-scope", "open, as roadster is called now"),
    M(DIALS, "for: {hand: right}", "for: {series: roadster}", "unknown-scope", "open, as roadster is called now"),
    M("interiors.yml", "start of late", "start of second", "unknown-period", "late, as second is called now"),
    M(
        SWITCHES,
        "source: newsletter 37",
        "source: club-letter 37",
        "unknown-source",
        "newsletter 37, as club-letter 37",
    ),
)

# What cannot be true together.
_LOGIC = (
    M(PERIODS, "from: 1969-01-01, to: 1972", "from: 1968-12-01, to: 1972", "periods-overlap", "1969-01-01"),
    M(PERIODS, "from: 1969-01-01, to: 1972", "from: 1969-02-01, to: 1972", "period-gap", "begin sooner"),
    M(GUIDE, "made: 3600", "made: 9600", "total-differs", "correct"),
    M(
        GUIDE,
        "{from: 1970-02-03, to: 1970-04-26",
        "{from: 1974-02-03, to: 1974-04-26",
        "closed-outside-production",
        "correct its days",
    ),
    M(SWITCHES, "{last: C1840,", "{last: 1967-06,", "statements-clash", "whichever line is mistaken", line=14, more=2),
    M(SWITCHES, "{seen: C1612,", "{seen: C1912,", "statements-clash", "whichever line is mistaken"),
    M(SWITCHES, "answer: Flat black rockers", "answer: Round metal toggles", "same-answer", "sets it apart"),
    M(SWITCHES, "answer: Flat black rockers", "answer: As drawn", "answer-needs-drawing", "say what is seen"),
    M(DIALS, "look: The two large dials.\n", "", "missing-look", "look", line=1),
    M(DIALS, "    describes: A dial with a black rim.\n", "", "missing-description", "describes", line=18),
    M(DIALS, "last: 1969-11, source: parts-list", "last: 1969-11", "missing-source", "source"),
    M(SOURCES, ", about: What was sold for each car.", "", "source-says-little", "about"),
    M(
        SOURCES,
        "newsletter:\n",
        "leaflet: {name: Leaflet, kind: leaflet, trust: poor, about: x}\nnewsletter:\n",
        "source-unused",
        "name it where it speaks",
    ),
    M(PERIODS, ', summary: "Toggles, and static belts."', "", "missing-description", "summary"),
)
MISTAKES = (*_FORM, *_SET, *_KEYS, *_WHEN, *_NUMBERS, *_NAMES, *_FILES, *_TEXTS, *_TABLES, *_SILENT, *_LOGIC)

# What is typed in place of what, and cannot be taken for anything else.
MEANT = (
    (SWITCHES, 'aside: "newsletter 37 last 1967-11"', "aside: “newsletter 37 last 1967-11”"),
    (SWITCHES, "answer: Round metal toggles", "answer: “Round metal toggles”"),
    (SWITCHES, "answer: Round metal toggles", "answer: ‘Round metal toggles’"),
    (SWITCHES, "answer: Round metal toggles", "answer: «Round metal toggles»  # as seen"),
    (PERIODS, 'summary: "Toggles, and static belts."', "summary: “Toggles, and static belts.”"),
    (PERIODS, 'summary: "Toggles, and static belts."', "summary: „Toggles, and static belts.“"),
    (SWITCHES, "order: [toggle, rocker]", "order: [“toggle”, “rocker”]"),
    (SWITCHES, "reach: glass", "reach: Glass"),
    (SWITCHES, "reach: glass", "reach:\tglass"),
    (DIALS, "in photographs: yes", "in photographs: Yes"),
    (SEEN, "left,tan-cloth", "left,fawn-felt"),
    (SEEN, "left,tan-cloth", "left,Tan cloth"),
    (SWITCHES, "    name: Toggles", "\u00a0\u00a0\u00a0\u00a0name: Toggles"),
    (SWITCHES, "    name: Toggles", "  \u202f\u00a0name: Toggles"),
)

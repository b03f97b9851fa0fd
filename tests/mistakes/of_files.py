"""Mistakes that are seen where files come together: names of files, texts, tables, what nobody told, what is said of
one thing in two places; `mistake` says what stands here."""

from __future__ import annotations

from tests.mistakes.mistake import AREAS, BELTS, COUPE, CSV, DIALS, GUIDE, PERIODS, SEEN, SOURCES, SWITCHES, Mistake

__all__ = ["OF_FILES"]

M = Mistake

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
    M("horn-ring.svg", "", "<svg/>", "file-not-read", "into the folder pictures/", line=1),
    M("pictures/old/horn-ring.svg", "", "<svg/>", "file-not-read", "into pictures/ itself", line=1),
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
        more=1,
        follows=("file-not-read",),
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
    M(
        _SVG,
        "*",
        _DRAWN.format("<text>on</text>", ""),
        "drawing-cleaned",
        "draw with path",
        line=1,
        mend=((_SVG, "<text>on</text>", ""),),
    ),
    M(
        _SVG,
        "*",
        _DRAWN.format("", " L0 0" * 8000),
        "drawing-heavy",
        "leave out",
        line=1,
        mend=((_SVG, " L0 0" * 8000, ""),),
    ),
    M("about.md", _ABOUT, "See [the dials](mark:dial).", "link-dangling", "link to one that is there", line=1),
    M("about.md", _ABOUT, "See [this](javascript:x).", "link-refused", "https://", line=1),
    M("about.md", _ABOUT, "![A lamp](lamp.svg)", "text-picture-missing", "in pictures/", line=1),
    M("about.md", _ABOUT, "![](belts-reel.svg)", "picture-without-words", "![what it shows]", line=1),
    M("about.md", _ABOUT, "|a|b|\n|---|---|\n|1|2|3|", "table-cells-lost", "one more column", line=3),
)

# Tables.
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
    M(DIALS, "last: 1969-11", "last: 1869-11", "outside-production"),
    M(DIALS, "last: 1969-11", "last: 1979-11", "outside-production", "correct the date"),
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

OF_FILES = (*_FILES, *_TEXTS, *_TABLES, *_SILENT, *_LOGIC)

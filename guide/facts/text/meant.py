"""What an editor will have meant: the nearest of the words that can stand somewhere, and an id as it may be written.

A word is offered only where it can hardly be another: one that is spelt nearly alike, or that is known to mean nearly
the same. Never one that differs in a figure (bulletin 9 is not bulletin 7) or says the opposite (inside, outside).
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable, Mapping

__all__ = ["digits_meant", "id_meant", "nearest", "straight_quotes", "unclosed_curly"]

_ALIKE = 0.65  # the least ratio of `difflib` at which two words count as spelt alike: common practice, no source

_MISSPELT = 0.85  # the same, for a word that only means nearly the same

_OPPOSITES = """
    in out, inner outer, inside outside, front rear, left right, upper lower, top bottom, early late, first last,
    new old, before after, from to, bright black, light dark, wide narrow, thick thin, long short, with without
"""


def _german(pairs: str) -> Mapping[str, str]:
    """Return words with what they mean, from "word meaning, word meaning"; a low line stands for a blank."""
    return {
        word.replace("_", " ").casefold(): means.replace("_", " ") for word, means in map(str.split, pairs.split(","))
    }


# Words that editors type for those that can be chosen, and what they mean; told by use, no source.
_MEANS: Mapping[str, str] = {
    **dict.fromkeys(("inside", "interior", "sitting", "seated", "cabin"), "seat"),
    **dict.fromkeys(("window", "windows", "windscreen", "windshield"), "glass"),
    **dict.fromkeys(("exterior", "around", "outdoors", "outdoor"), "outside"),
    **dict.fromkeys(("doors", "open door"), "door"),
    **dict.fromkeys(("hood", "engine bay", "engine"), "bonnet"),
    **dict.fromkeys(("touch", "hand", "feel"), "hands"),
    **dict.fromkeys(("photo", "photos", "picture", "pictures"), "photographs"),
    **dict.fromkeys(("alt", "alt text", "alternative text", "description"), "describes"),
    **dict.fromkeys(("low", "bad", "weak", "hearsay"), "poor"),
    **dict.fromkeys(("medium", "middle", "moderate", "average"), "fair"),
    **dict.fromkeys(("best", "top", "certain"), "high"),
    **dict.fromkeys(("standard", "works", "original", "as built"), "factory"),
    **dict.fromkeys(("extra", "optional"), "option"),
    **dict.fromkeys(("spare", "spares", "spare part", "replacement"), "service part"),
    **dict.fromkeys(("copy", "replica", "remade"), "reproduction"),
    **dict.fromkeys(("accessory",), "aftermarket"),
    **dict.fromkeys(("recall",), "campaign"),
    **dict.fromkeys(("many", "usually", "often", "mostly"), "most"),
    **dict.fromkeys(("some", "rarely", "seldom"), "few"),
    **dict.fromkeys(("always", "all", "almost all"), "nearly all"),
    **dict.fromkeys(("very high", "excellent", "very good"), "high"),
    **dict.fromkeys(("very low", "very poor", "unreliable"), "poor"),
    **dict.fromkeys(("rhd", "r", "rh", "right-hand", "right hand drive", "rechts", "rechtslenker"), "right"),
    **dict.fromkeys(("lhd", "l", "lh", "left-hand", "left hand drive", "links", "linkslenker"), "left"),
    **dict.fromkeys(("saw", "spotted", "observed", "sighted", "viewed"), "seen"),
    **dict.fromkeys(("until", "till", "through"), "to"),
    **dict.fromkeys(("since", "starting"), "from"),
    **dict.fromkeys(("warning", "warnings", "danger", "safety"), "cautions"),
    **dict.fromkeys(("marque", "vehicle", "subject"), "car"),
    **dict.fromkeys(("on", "when"), "at"),
    **dict.fromkeys(("only",), "for"),
    **dict.fromkeys(("comment", "remark", "remarks", "notes"), "note"),
    **dict.fromkeys(("reason", "because"), "why"),
    **dict.fromkeys(("author", "signed", "who"), "by"),
    **dict.fromkeys(("variants", "types", "versions", "kinds"), "forms"),
    **dict.fromkeys(("where", "location"), "look"),
    **dict.fromkeys(("fix", "mend", "cure"), "repair"),
    **dict.fromkeys(("reliability", "reliable", "confidence"), "trust"),
    **dict.fromkeys(("definition", "meaning"), "means"),
    # In German; keys and what can be chosen are English in every guide.
    **_german(
        "tür door, türen door, scheibe glass, fenster glass, glas glass, außen outside, sitz seat, innen seat,"
        "haube bonnet, motorhaube bonnet, hände hands, anfassen hands, foto photographs, fotos photographs,"
        "viele most, meist most, hälfte half, wenige few, hoch high, gut good, mittel fair, gering poor, niedrig poor,"
        "schlecht poor, serie factory, werk factory, ersatzteil service_part, nachbau reproduction, umbau conversion,"
        "antwort answer, frage question, quelle source, quellen sources, erster first, erste first, zuerst first,"
        "letzter last, letzte last, zuletzt last, gesehen seen, seite page, von from, ab from, bis to, für for,"
        "merkmale marks, merkmal mark, bereich area, ausführungen forms, ausführung form, angaben stated,"
        "reihenfolge order, beschreibung describes, beschreibt describes, farbe colour, anteil share, grund why,"
        "ort look, blick look, zusammenfassung summary, vorsicht cautions, warnung cautions, ursache cause,"
        "vorbeugung prevention, reparatur repair, gewicht trust, art kind, datiert dated, ausgabe edition, wagen car,"
        "sprache language, gebaut built, entscheidungen rulings, bemerkung note, wort word, bedeutung means,"
        "auch also, früher formerly, nähe reach, erhalten survives, verwechselt_mit taken_for, karosserie body,"
        "bild picture, bilder pictures, geschrieben written, nummern runs, über about"
    ),
    **dict.fromkeys(("fast alle", "nahezu alle"), "nearly all"),
    **dict.fromkeys(("die meisten",), "most"),
    **dict.fromkeys(("die hälfte", "etwa die hälfte"), "half"),
    **dict.fromkeys(("von aussen",), "outside"),
    **dict.fromkeys(("durch die scheibe", "durchs fenster"), "glass"),
}


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that will have been meant by this one, or None where that is not plain."""
    names = {name.casefold(): name for name in known}
    plain = " ".join(word.casefold().split())
    typed = (
        plain if plain in _MEANS else next(iter(difflib.get_close_matches(plain, _MEANS, n=1, cutoff=_MISSPELT)), "")
    )
    if _MEANS.get(typed) in names and not _differs(plain, typed):
        return names[_MEANS[typed]]
    close = difflib.get_close_matches(plain, names, n=3, cutoff=_ALIKE)
    return next((names[one] for one in close if not _differs(plain, one)), None)


def _differs(one: str, other: str) -> bool:
    """Tell whether two words that are spelt nearly alike are known to mean different things."""
    if re.findall(r"\d+", one) != re.findall(r"\d+", other):
        return True
    parts, others = (set(re.findall(r"[^\W\d_]+", text)) for text in (one, other))
    apart = parts ^ others
    pairs = (set(pair.split()) for pair in _OPPOSITES.split(","))
    return any(pair <= apart and pair & parts and pair & others for pair in pairs)


def id_meant(text: str) -> str:
    """Return a text as it may be written as an id, in small letters without accents; empty where nothing is left."""
    plain = unicodedata.normalize("NFKD", text.casefold().replace("ß", "ss"))
    return "-".join(re.findall(r"[a-z0-9]+", "".join(one for one in plain if not unicodedata.combining(one))))


_LONGEST_NUMBER = 40  # characters; what is longer is no number, and trying it would take hours
_LETTERS = str.maketrans("OoIilBSZ", "00111852")  # letters that are taken for figures, and typed for them


def digits_meant(number: str) -> Iterable[tuple[str, str]]:
    """Yield a number with letters that look like figures put right, and the letters; as few as may be first."""
    if len(number) > _LONGEST_NUMBER:
        return
    at = [index for index, sign in enumerate(number) if sign.translate(_LETTERS) != sign]
    for start in range(len(at) - 1, -1, -1):  # a prefix keeps its letters as long as it can
        chosen = at[start:]
        better = "".join(one.translate(_LETTERS) if index in chosen else one for index, one in enumerate(number))
        yield better, ", ".join(dict.fromkeys(number[index] for index in chosen))


# A whole value in quotation marks as a word processor writes them, where a value begins and as far as it goes.
_CURLY = re.compile(
    r"(?P<before>(?:[,\[{]|: |- ) *)"
    r"(?:[“„”«](?P<double>[^“”„«»]*?)[”“»«]|[‘‚](?P<single>[^‘]*?)[’‘])(?=\s*(?:[,\]}]|\s#|$))"
)
_STRAIGHT = re.compile(r"\"|[:\-,\[{] *'")  # in a value with quotation marks of its own everything stands for itself
_BLOCK = re.compile(r"(?:.*[:-] +|)[|>][+-]?\d?[+-]?(?:\s+#.*)?")  # begins a text over several lines


def straight_quotes(text: str) -> str:
    """Return a text with straight quotation marks for the curly ones that wrap a value; every place stays as it was."""
    if not re.search("[“„«‘‚]", text):
        return text
    lines, block = [], -1  # how far the line stands in that begins a text over several lines
    for line in text.split("\n"):
        inset = len(line) - len(line.lstrip())
        if block >= 0 and line.strip() and inset <= block:
            block = -1
        if block < 0 and not _STRAIGHT.search(line):
            line = _CURLY.sub(_straight, line)
        if block < 0 and _BLOCK.fullmatch(line):
            block = inset
        lines.append(line)
    return "\n".join(lines)


def _straight(match: re.Match[str]) -> str:
    inner = match["double"] if match["single"] is None else match["single"]
    return match[0] if "\\" in inner else f'{match["before"]}"{inner}"'


_ONE_CURLY = re.compile(r"(?P<opens>[“„«])[^“”„«»]*|(?P<single>[‘‚])(?!\d)[^‘’]*|[^“”„«»]*[^“”„«»\d](?P<closes>[”»])")


def unclosed_curly(text: str) -> str:
    """Return the curly quotation mark at one end of a text that has no other: nothing for a text in order.

    One behind a figure stands for inches, a single one before a figure for a century.
    """
    match = None if text.isascii() else _ONE_CURLY.fullmatch(text)
    return (match["opens"] or match["single"] or match["closes"]) if match else ""

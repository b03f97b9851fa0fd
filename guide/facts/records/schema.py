"""What may be typed as JSON Schema (draft 7), for editors that complete and check while one types.

Made from the same tables as the readers: a key, its description and the words that can be chosen have one source. A
schema says no more than what a file's form can show. What it refuses, the reader refuses too, and a key that the
reader does not know, misses or cannot use, the schema refuses; what hangs on other files (whether a source is there)
the reader alone can tell. Every scalar is text to the reader, so a schema takes a number or a yes where it takes text.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from guide.facts.records.every import RECORDS
from guide.facts.records.fields import Field, Record
from guide.facts.records.fittings import FittedAs
from guide.sentence import Sentence
from guide.words.say import Words

__all__ = ["FILES", "modeline", "schemas"]

Schema = dict[str, Any]

# Each kind of file: the record that stands in it, and whether under ids.
FILES: dict[str, tuple[str, bool]] = {
    "guide": ("guide", False),
    "sources": ("source", True),
    "periods": ("period", True),
    "interiors": ("interior", True),
    "areas": ("area", True),
    "words": ("word", True),
    "numbers": ("series", False),
    "marks": ("mark", False),
    "care": ("care", False),
}
_SCALAR: Schema = {"type": ["string", "number", "boolean"]}
_GIVEN: Schema = {**_SCALAR, "minLength": 1}
_BLANK: Schema = {"enum": [None, ""]}
_SPOKEN: Schema = {  # a text, or one in each of several languages under their tags
    "anyOf": [
        _GIVEN,
        {
            "type": "object",
            "propertyNames": {"pattern": "^[a-z]{2,3}(-[A-Z][a-z]{3})?(-([A-Z]{2}|[0-9]{3}))?$"},
            "additionalProperties": _GIVEN,
            "minProperties": 1,
        },
    ]
}
_BY_NAME = {declared.id: declared for declared in RECORDS}
_LISTED: dict[str, str] = {  # shapes that are a record or a list of them
    "closures": "closure",
    "model-years": "model-year",
    "shares": "share-row",
    "end-rulings": "end-ruling",
    "runs": "run",
    "dated-cars": "dated-car",
    "strays": "stray",
    "outside": "outside",
    "spans": "span",
    "counts": "count",
    "supply": "supply",
    "changes": "change",
    "rulings": "ruling",
    "stated": "statement",
    "taken-for": "taken-for",
    "production": "production",
    "pictures": "picture",
    "plates": "plate",
}
_LISTS = {"assembled": "assembly", "changed together": "changed-together", "renewed together": "renewed-together"}
_OPEN = ("share-row", "split-value")  # a key besides may be a split's id


def modeline(file: str) -> str:
    """Return the first line that tells common editors which schema a file has, "" for a file without one."""
    kind, *inside = file.removesuffix(".yml").split("/")
    return f"# yaml-language-server: $schema={'../' * len(inside)}handbook/schemas/{kind}.json" if kind in FILES else ""


def schemas(words: Words) -> dict[str, Schema]:
    """Return the schema of each kind of file, with descriptions in a language."""
    return {name: _file(*kind, words) for name, kind in FILES.items()}


def _file(record: str, keyed: bool, words: Words) -> Schema:
    top = _ref(record)
    body = {"type": "object", "additionalProperties": top} if keyed else top
    return {"$schema": "http://json-schema.org/draft-07/schema#", **_definitions(body, words)}


def _definitions(body: Schema, words: Words) -> Schema:
    """Return a schema with every record that it comes to need."""
    found: dict[str, Schema] = {}
    wanted = list(_named_in(body))
    while wanted:
        name = wanted.pop()
        if name not in found:
            found[name] = _SPOKEN if name == "spoken" else _record(_BY_NAME[name], words)
            wanted += _named_in(found[name])
    return {**body, "definitions": dict(sorted(found.items()))}


def _named_in(schema: Any) -> Iterable[str]:
    inner = schema.values() if isinstance(schema, dict) else schema if isinstance(schema, list) else ()
    if isinstance(schema, dict) and isinstance(schema.get("$ref"), str):
        yield schema["$ref"].rpartition("/")[2]
    for one in inner:
        yield from _named_in(one)


def _record(declared: Record, words: Words) -> Schema:
    keys = {}
    for one in declared.fields:
        of = _typed(one)
        keys[one.name] = {"description": words.tell(declared.means(one)), **(of if one.needed else _any(of, _BLANK))}
    needed = [one.name for one in declared.fields if one.needed]
    besides: Schema | bool = _SCALAR if declared.id in _OPEN else False
    return {
        "type": "object",
        "description": words.tell(declared.name),
        "properties": keys,
        "additionalProperties": besides,
        **({"required": needed} if needed else {}),
    }


def _typed(one: Field[Any]) -> Schema:
    """Return what may stand after a key."""
    shape = one.reader.shape.id.rpartition(".")[2] if isinstance(one.reader.shape, Sentence) else ""
    if one.reader.choices:
        words = _any({"enum": list(one.reader.choices)}, {"type": "string", "pattern": _any_case(one.reader.choices)})
        return words if shape == "choice" else _any({"enum": list(one.reader.choices)}, _GIVEN)
    if shape in _LISTED:
        return _one_or_many(_ref(_LISTED[shape]))
    if shape == "list":
        return _one_or_many(_ref(_LISTS[one.name]))
    return _SHAPES.get(shape, lambda: _GIVEN)()


def _ref(record: str) -> Schema:
    return {"$ref": f"#/definitions/{record}"}


def _any(*ways: Schema) -> Schema:
    return {"anyOf": [way for one in ways for way in (one["anyOf"] if set(one) == {"anyOf"} else [one])]}


def _one_or_many(one: Schema) -> Schema:
    return _any(one, {"type": "array", "items": _any(one, _BLANK)})


def _mapping(value: Schema) -> Schema:
    return {"type": "object", "additionalProperties": value}


def _any_case(choices: Iterable[str]) -> str:
    """Return a pattern of some words in small or capital letters; the dialect has no sign for that."""
    spelt = ("".join(f"[{one.upper()}{one}]" if one.isalpha() else one for one in word) for word in choices)
    return f"^(?:{'|'.join(spelt)})$"


def _scope() -> Schema:
    words = _one_or_many(_GIVEN)
    return _any(words, _mapping(words))


def _fitted_as() -> Schema:
    kinds = [str(kind) for kind in FittedAs]
    way = _any(_BLANK, _yes_no(), _one_or_many(_ref("fitting")))
    word: Schema = {"type": "string", "pattern": _any_case(kinds)}
    by_kind = {"type": "object", "properties": dict.fromkeys(kinds, way), "propertyNames": word}
    return _any(_one_or_many(_any({"enum": kinds}, word)), {**by_kind, "additionalProperties": way})


def _yes_no() -> Schema:
    words = ("yes", "no", "true", "false", "y", "n")
    return _any({"enum": ["yes", "no"]}, {"type": "boolean"}, {"type": "string", "pattern": _any_case(words)})


def _splits() -> Schema:
    return _mapping(_any(_one_or_many(_GIVEN), _ref("split")))


_SHAPES: dict[str, Callable[[], Schema]] = {
    "text": lambda: {"anyOf": [_ref("spoken")]},  # what stands beside a bare reference is not read
    "few-words": lambda: _ref("spoken"),
    "detail": lambda: _ref("detail"),
    "part-numbers": lambda: _one_or_many(_any(_GIVEN, _ref("part-number"))),
    "texts": lambda: _one_or_many(_ref("spoken")),
    "languages": lambda: _one_or_many(_GIVEN),
    "ids": lambda: _one_or_many(_GIVEN),
    "whens": lambda: _one_or_many(_GIVEN),
    "form": lambda: _one_or_many(_GIVEN),
    "form-refs": lambda: _one_or_many(_GIVEN),
    "issues-read": lambda: _one_or_many(_GIVEN),
    "order": lambda: _one_or_many(_GIVEN),
    "yes-no": _yes_no,
    "splits": _splits,
    "split-values": lambda: _any(_one_or_many(_GIVEN), _mapping(_any(_BLANK, _SCALAR, _ref("split-value")))),
    "constants": lambda: _mapping(_GIVEN),
    "spots": lambda: _mapping(_GIVEN),
    "scope": _scope,
    "own-series": _scope,
    "suffixes": lambda: _mapping(_scope()),
    "edition": lambda: _any(_ref("spoken"), _ref("edition")),
    "end-days": lambda: _any(_GIVEN, _one_or_many(_ref("end-day"))),
    "end-cars": lambda: _any(_GIVEN, _one_or_many(_ref("end-car"))),
    "calendar": lambda: _mapping(_any(_GIVEN, _ref("calendar-line"))),
    "issues": lambda: _mapping(_ref("issue")),
    "forms": lambda: _mapping(_ref("form")),
    "spells": lambda: {"type": "array", "items": _any(_ref("spell"), _BLANK)},
    "fitted-as": _fitted_as,
    "read-as": lambda: _ref("read-as"),
    "table": lambda: {"type": "array", "items": {"type": "array", "items": _SCALAR}},
}

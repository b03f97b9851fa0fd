"""Prints guide/handbook/ and themes/README.md from the code: `python -m guide.command.documents` refreshes them.

The handbook is what an editor looks up: every key, every finding, every default. `build.py start` writes it beside a
new guide, in that guide's language; the copies in the package are in English, and a test holds them to this.
"""

from __future__ import annotations

import json
import pathlib
from collections.abc import Iterable

from guide.constants import CONSTANTS
from guide.facts.records.handbook_tables import describe_fields
from guide.facts.records.schema import schemas
from guide.finding import CODES, Severity
from guide.press.contract import found_everywhere, properties, templates
from guide.press.theme import THEMES
from guide.sentence import Value
from guide.words.say import Words, load_words

__all__ = ["CONTRACT", "HANDBOOK", "contract", "handbook", "written"]

WRITTEN = "for-editors.md"  # the page that is written by hand, and stands as it is
CONTRACT = THEMES / "README.md"
HANDBOOK = pathlib.Path(__file__).resolve().parent.parent / "handbook"


def _table(words: Words, name: str, columns: Iterable[str], rows: Iterable[Iterable[Value]]) -> str:
    """Return a page with one table of Markdown; its title, lead and heads are sentences of ``name``."""
    heads = [words.say(f"command.handbook.{name}.{column}") for column in columns]
    cells = [heads, ["---"] * len(heads), *([words.tell(cell) for cell in row] for row in rows)]
    table = ("| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |" for row in cells)
    return "\n".join((_head(words, name), *table, ""))


def _head(words: Words, name: str) -> str:
    title, lead = words.say(f"command.handbook.{name}.title"), words.say(f"command.handbook.{name}.lead")
    return f"# {title}\n\n{lead}\n"


def written(words: Words) -> str:
    """Return the page that is written by hand, in a language that somebody has written it in, else in English."""
    own = (HANDBOOK / WRITTEN).with_suffix(f".{words.language.partition('-')[0]}.md")
    return (own if own.is_file() else HANDBOOK / WRITTEN).read_text(encoding="utf-8")


def handbook(words: Words) -> dict[str, str]:
    """Return the pages of the handbook by their file names, in a language."""
    findings = (
        (f"`{code}`", words.say(f"finding.severity.{severity}"), words.say(f"finding.means.{code}"))
        for severity in Severity
        for code, kind in CODES.items()
        if kind is severity
    )
    defaults = (
        (f"`{name}`", f"{one.value:g}", one.unit, one.meaning, one.source, f"`{one.per_mark}`" if one.per_mark else "")
        for name, one in CONSTANTS.items()
    )
    return {
        "findings.md": _table(words, "findings", ("code", "severity", "meaning"), findings),
        "defaults.md": _table(words, "defaults", ("name", "value", "unit", "meaning", "source", "per-mark"), defaults),
        "keys.md": f"{_head(words, 'keys')}\n{describe_fields(words)}",
        WRITTEN: written(words),
        **{f"schemas/{name}.json": _json(schema) for name, schema in schemas(words).items()},
    }


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, indent=1) + "\n"


def contract(words: Words) -> str:
    """Return what a theme may count on: what templates find, each with its blocks, and the custom properties."""

    def code(names: Iterable[str]) -> str:
        return ", ".join(f"`{name}`" for name in names)

    given = (
        (f"`{name}`", code([above] if above else []), code(own), code(read)) for name, above, own, read in templates()
    )
    stated = ((f"`{name}`", f"`{value}`") for name, value in properties().items())
    found = found_everywhere().replace("``", "`").replace("\n    ", "\n: ")
    everywhere = f"{_head(words, 'everywhere')}\n{found}\n"
    return "\n".join(
        (
            _head(words, "theme"),
            f"#{_table(words, 'templates', ('template', 'extends', 'blocks', 'reads'), given)}",
            f"#{everywhere}",
            f"#{_table(words, 'properties', ('property', 'value'), stated)}",
        )
    )


def main() -> None:
    """Write the handbook and the contract of themes in English."""
    CONTRACT.write_text(contract(load_words()), encoding="utf-8", newline="\n")
    for name, text in handbook(load_words()).items():
        (HANDBOOK / name).parent.mkdir(exist_ok=True)
        (HANDBOOK / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()

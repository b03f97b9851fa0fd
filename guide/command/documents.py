"""Prints guide/handbook/ from the code: `python -m guide.command.documents` refreshes it.

The handbook is what an editor looks up: every key, every finding, every default. `build.py start` writes it beside a
new guide, in that guide's language; the copies in the package are in English, and a test holds them to this.
"""

from __future__ import annotations

import pathlib
from collections.abc import Iterable

from guide.constants import CONSTANTS
from guide.facts.records.handbook_tables import describe_fields
from guide.finding import CODES, Severity
from guide.sentence import Value
from guide.words.say import Words, load_words

__all__ = ["HANDBOOK", "handbook"]

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
    }


def main() -> None:
    """Write the handbook in English."""
    for name, text in handbook(load_words()).items():
        (HANDBOOK / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()

"""Prints the tables of DEVELOPERS.md from the code: `python -m guide.command.documents` refreshes them.

A test compares the page with what this prints, so that neither can drift.
"""

from __future__ import annotations

import pathlib

from guide.constants import CONSTANTS
from guide.facts.records.reference import describe_fields
from guide.finding import CODES, Severity

__all__ = ["defaults_table", "findings_table", "refreshed"]

PAGE = pathlib.Path(__file__).resolve().parent.parent.parent / "DEVELOPERS.md"


def _row(*cells: str) -> str:
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def findings_table() -> str:
    """Return the table of every kind of finding, errors first."""
    rows = [_row("severity", "code", "what it says"), _row("---", "---", "---")]
    for severity in Severity:
        rows += [_row(severity, f"`{code}`", kind.meaning) for code, kind in CODES.items() if kind.severity is severity]
    return "\n".join(rows)


def defaults_table() -> str:
    """Return the table of every default with its unit and source."""
    rows = [_row("default", "value", "unit", "what it is", "source", "a mark's field"), _row(*["---"] * 6)]
    rows += [
        _row(
            f"`{name}`",
            f"{constant.value:g}",
            constant.unit,
            constant.meaning,
            constant.source,
            f"`{constant.per_mark}`" if constant.per_mark else "",
        )
        for name, constant in CONSTANTS.items()
    ]
    return "\n".join(rows)


def _between(text: str, name: str, table: str) -> str:
    head = f"<!-- {name}: printed by guide/command/documents.py -->"
    foot = f"<!-- end of {name} -->"
    before, rest = text.split(head)
    _, after = rest.split(foot)
    return f"{before}{head}\n{table}\n{foot}{after}"


def refreshed(text: str) -> str:
    """Return DEVELOPERS.md's text with its tables as the code has them now."""
    tables = {"findings": findings_table(), "defaults": defaults_table(), "keys": describe_fields().rstrip()}
    for name, table in tables.items():
        text = _between(text, name, table)
    return text


def main() -> None:
    """Write the tables into DEVELOPERS.md."""
    PAGE.write_text(refreshed(PAGE.read_text(encoding="utf-8")), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()

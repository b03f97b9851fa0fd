"""What a theme may count on: every template with its blocks and what it reads, every custom property.

Read from the templates and the style sheets of ``plain`` as they stand, so that it is never behind them; printed into
themes/README.md by `guide.command.documents`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from jinja2 import Environment, meta, nodes

import guide.press.render
import guide.press.single_file
from guide.press.theme import open_theme

__all__ = ["found_everywhere", "properties", "templates"]


def found_everywhere() -> str:
    """Return what every template finds besides its page's own context, as the press itself says it."""
    return (guide.press.render.__doc__ or "").split("\n\n", 2)[2].strip()


def _names_of(text: str) -> set[str]:
    """Return the names that a text sets apart as code."""
    return {re.split(r"[(| ]", name.lstrip("| "))[0] for name in re.findall(r"``([^`]+)``", text)}


def templates() -> Iterator[tuple[str, str, tuple[str, ...], tuple[str, ...]]]:
    """Yield each template of ``plain``: its name, what it extends, its blocks in order, what it reads of its page."""
    environment = Environment(trim_blocks=True, lstrip_blocks=True)
    environment.filters.update(lower_first=str, upper_first=str)
    known = _names_of(f"{guide.press.render.__doc__}{guide.press.single_file.__doc__}") | {"self", "loop"}
    for name, path in open_theme().templates():
        tree = environment.parse(path.read_text(encoding="utf-8"))
        extends = tree.find(nodes.Extends)
        above = str(extends.template.as_const()) if extends is not None else ""
        blocks = tuple(dict.fromkeys(block.name for block in tree.find_all(nodes.Block)))
        brought = {
            one if isinstance(one, str) else one[1] for each in tree.find_all(nodes.FromImport) for one in each.names
        }
        brought |= {str(getattr(one.target, "name", "")) for one in tree.find_all(nodes.Assign)}
        yield name, above, blocks, tuple(sorted(meta.find_undeclared_variables(tree) - known - brought))


def properties() -> dict[str, str]:
    """Return every custom property that ``plain`` states for all pages, with its value by day."""
    look = open_theme().styles()["style/look.css"].decode("utf-8")
    root = re.sub(r"/\*.*?\*/", "", look[look.index(":root {") : look.index("}")], flags=re.DOTALL)
    return {name: " ".join(value.split()) for name, value in re.findall(r"(--[a-z-]+):\s*([^;]+);", root)}

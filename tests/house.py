"""The measures of the house, in one command: `python -m tests.house`, of another tree with `--tree FOLDER`.

Lines are counted as they stand, blanks and comments too. What a change touches is measured by an example that is there
already: the files of the package and the themes that name it (the tests and the printed handbook apart), since whoever
adds a like one has to go to each of them.
"""

from __future__ import annotations

import argparse
import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

__all__ = ["examples", "import_chain", "lines_of", "measures", "named_in"]

ROOT = Path(__file__).resolve().parents[1]
_READ = (".py", ".js", ".html", ".json", ".css")

# What may be added, an example of it, and how the example is written where it is named.
EXAMPLES = {
    "a field (a mark's question, from file to key)": r"\bquestion\b\s*[=:]|\.question\b|[\"']question[\"']",
    "a field (a mark's american names)": r"\bamerican\b",
    "a check (missing-look)": r"\bmissing-look\b",
    "a page (the A to Z)": r"\batoz\b|\ba-to-z\b",
    "a statement (together with)": r"\btogether_with\b|\btogether-with\b|[\"']together with[\"']",
    "a language (German's signs and plurals)": r"[\"']de[\"']|\bGerman, ",
    "a theme (plain)": r"[\"']plain[\"']|themes/plain",
}


def files_of(tree: Path, *folders: str) -> Iterator[Path]:
    """Yield the files of some folders of a tree that hold code, sentences or layout, in order."""
    for folder in folders:
        yield from sorted(path for path in (tree / folder).rglob("*") if path.suffix in _READ and path.is_file())


def lines_of(tree: Path, folder: str, ending: str) -> int:
    """Return how many lines the files with an ending hold."""
    files = (path for path in files_of(tree, folder) if path.suffix == ending)
    return sum(len(path.read_text(encoding="utf-8").splitlines()) for path in files)


def named_in(tree: Path, pattern: str) -> list[str]:
    """Return the files of the package and the themes that name something, relative to the tree."""
    files = files_of(tree, "guide", "themes")
    return [path.relative_to(tree).as_posix() for path in files if re.search(pattern, path.read_text(encoding="utf-8"))]


def examples(tree: Path) -> dict[str, list[str]]:
    """Return, for each kind of addition, the files that name its example."""
    return {what: named_in(tree, pattern) for what, pattern in EXAMPLES.items()}


def _imports(tree: Path) -> dict[str, frozenset[str]]:
    """Return which modules of the package each of them needs before it can be imported itself."""
    paths = {".".join(path.relative_to(tree).with_suffix("").parts): path for path in (tree / "guide").rglob("*.py")}
    found = {}
    for name, path in paths.items():
        named: set[str] = set()
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.Import):
                named |= {alias.name for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module:
                named |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
        found[name] = frozenset(named & paths.keys() - {name})
    return found


def import_chain(tree: Path) -> list[str]:
    """Return the longest chain of modules of the package in which each imports the next."""
    imports = _imports(tree)

    @cache
    def longest(name: str) -> tuple[str, ...]:
        chains: list[tuple[str, ...]] = [(), *(longest(other) for other in sorted(imports[name]))]
        return (name, *max(chains, key=len))

    chain: tuple[str, ...] = max([longest(name) for name in sorted(imports)], key=len)
    return list(chain)


def measures(tree: Path) -> Iterator[str]:
    """Yield the measures of a tree, a line each."""
    python, scripts = lines_of(tree, "guide", ".py"), lines_of(tree, "guide", ".js")
    yield f"lines of guide/: {python + scripts} (Python {python}, JavaScript {scripts})"
    theme = " and ".join(f"{lines_of(tree, 'themes', ending)} of {ending}" for ending in (".js", ".html"))
    yield f"lines of themes/: {theme}"
    chain = import_chain(tree)
    yield f"longest import chain: {len(chain)} modules, {chain[0]} to {chain[-1]}"
    for what, files in examples(tree).items():
        modules = sum(path.endswith((".py", ".js")) for path in files)
        yield f"files that name {what}: {len(files)}, of them modules {modules}"


def main() -> None:
    """Print the measures of this tree or of the one named."""
    parser = argparse.ArgumentParser(prog="python -m tests.house", description=__doc__)
    parser.add_argument("--tree", metavar="FOLDER", type=Path, default=ROOT)
    parser.add_argument("--files", action="store_true", help="name the files, and the modules of the chain, as well")
    options = parser.parse_args()
    print("\n".join(measures(options.tree)))
    if options.files:
        print("\nlongest import chain:", *import_chain(options.tree), sep="\n  ")
        for what, files in examples(options.tree).items():
            print(f"\n{what}:", *files, sep="\n  ")


if __name__ == "__main__":
    main()

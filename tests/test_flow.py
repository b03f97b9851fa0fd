"""One way through: a stage imports only from the stages before it."""

from __future__ import annotations

import ast
import pathlib

import pytest

ROOT = pathlib.Path(__file__).resolve().parent.parent
STAGES = (
    "sentence",
    "finding",
    "constants",
    "words",
    "facts",
    "limits",
    "dating",
    "tally",
    "checks",
    "pages",
    "press",
    "command",
    "__main__",
)
FILES = sorted((ROOT / "guide").rglob("*.py"))
assert FILES, "no modules found"


def stage_of(path: pathlib.Path) -> str:
    return path.relative_to(ROOT / "guide").with_suffix("").parts[0]


def imported(path: pathlib.Path) -> set[str]:
    """Return the stages that a module imports, wherever in the module the import stands."""
    stages = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module] if node.module != "guide" else [f"guide.{alias.name}" for alias in node.names]
        stages |= {name.split(".")[1] for name in names if name.startswith("guide.")}
    return stages


@pytest.mark.parametrize("path", [f for f in FILES if f.name != "__init__.py"], ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_go_one_way(path: pathlib.Path) -> None:
    own = stage_of(path)
    assert own in STAGES
    later = {stage for stage in imported(path) if STAGES.index(stage) > STAGES.index(own)}
    assert later == set(), f"{own} comes before {sorted(later)}"


@pytest.mark.parametrize("path", [f for f in FILES if f.name == "__init__.py"], ids=lambda p: str(p.relative_to(ROOT)))
def test_packages_hold_no_logic(path: pathlib.Path) -> None:
    assert path.read_text(encoding="utf-8").strip() == ""


@pytest.mark.parametrize("path", sorted((ROOT / "guide" / "pages").glob("[kp]*/*.py")), ids=lambda p: p.stem)
def test_a_kind_of_page_rests_on_parts_and_on_no_other_kind(path: pathlib.Path) -> None:
    assert "guide.pages.kinds" not in path.read_text(encoding="utf-8")

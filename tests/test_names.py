"""Names: one word means one thing, so no two classes of the package share one."""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path


def test_no_two_classes_share_a_name(root: Path) -> None:
    found = defaultdict(list)
    for path in sorted((root / "guide").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].append(path.relative_to(root).as_posix())
    assert len(found) > 100
    assert {name: places for name, places in found.items() if len(places) > 1} == {}

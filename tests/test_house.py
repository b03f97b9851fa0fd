"""The house: one hand's format, no lint, types that hold in package and tests; and its measures can be taken."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import absent
from tests.house import EXAMPLES, examples, import_chain, measures

pytestmark = pytest.mark.long  # the types of everything, which would else be looked at among the last

TOOLS = {"format": ("ruff", "format", "--check", "."), "lint": ("ruff", "check", "."), "types": ("mypy",)}


@pytest.mark.parametrize("what", TOOLS)
def test_the_tree_is_in_one_hand_and_its_types_hold(root: Path, what: str) -> None:
    tool, *rest = TOOLS[what]
    if subprocess.run([sys.executable, "-m", tool, "--version"], capture_output=True, check=False).returncode:
        absent(tool)
    run = subprocess.run(
        [sys.executable, "-m", tool, *rest], cwd=root, capture_output=True, text=True, encoding="utf-8", check=False
    )
    assert run.returncode == 0, run.stdout + run.stderr


def test_each_example_that_the_measures_rest_on_is_there(root: Path) -> None:
    found = examples(root)
    assert found.keys() == EXAMPLES.keys()
    assert {what for what, files in found.items() if not any(path.startswith("guide/") for path in files)} == set()
    assert len(list(measures(root))) == len(EXAMPLES) + 3


def test_the_longest_chain_is_followed_from_module_to_module(tmp_path: Path) -> None:
    (tmp_path / "guide/inside").mkdir(parents=True)
    texts = {
        "a": "from guide.b import x",
        "b": "from guide import c\nimport json",
        "c": "",
        "inside/e": "import guide.inside.d",
        "inside/d": "from guide.a import y\n\ndef late():\n    import guide.inside.e",
    }
    for name, text in texts.items():
        (tmp_path / "guide" / f"{name}.py").write_text(text, encoding="utf-8")
    assert import_chain(tmp_path) == ["guide.inside.e", "guide.inside.d", "guide.a", "guide.b", "guide.c"]

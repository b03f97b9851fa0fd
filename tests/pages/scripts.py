"""Runs scripts of the guide in Node.js and returns what an expression comes to."""

from __future__ import annotations

import json
import subprocess
from typing import Any

from guide.press.scripts import DATA, Scripts
from guide.press.theme import open_theme

SCRIPTS = Scripts(open_theme())
_RUN = """
const fs = require("fs"), vm = require("vm");
const job = JSON.parse(fs.readFileSync(0, "utf8"));
for (const [name, text] of job.scripts) { vm.runInThisContext(text, name); }
globalThis.given = job.given;
const answer = vm.runInThisContext(job.expression);
process.stdout.write(JSON.stringify(answer === undefined ? null : answer));
"""


def texts(*names: str) -> list[tuple[str, str]]:
    """Return scripts and all that they need, data left out: each with its name, in order."""
    return [(name, SCRIPTS.text(name)) for name in SCRIPTS.in_order(names) if not name.startswith(DATA)]


def evaluate(node: str, script: str | tuple[str, ...], expression: str, given: Any = None) -> Any:
    """Return the value of a JavaScript ``expression`` beside a script, or several, and all that they need.

    In it ``given`` holds what is handed over.
    """
    job = {
        "scripts": texts(*((script,) if isinstance(script, str) else script)),
        "expression": expression,
        "given": given,
    }
    run = subprocess.run(
        [node, "-e", _RUN], input=json.dumps(job), capture_output=True, text=True, encoding="utf-8", check=False
    )
    assert run.returncode == 0, run.stderr
    return json.loads(run.stdout)

"""Runs scripts of the guide in Node.js and returns what an expression comes to."""

from __future__ import annotations

import json
import pathlib
import subprocess
from typing import Any

ROOT = pathlib.Path(__file__).resolve().parents[2]
_RUN = """
const fs = require("fs"), vm = require("vm");
const job = JSON.parse(fs.readFileSync(0, "utf8"));
for (const path of job.scripts) { vm.runInThisContext(fs.readFileSync(path, "utf8"), path); }
globalThis.given = job.given;
const answer = vm.runInThisContext(job.expression);
process.stdout.write(JSON.stringify(answer === undefined ? null : answer));
"""


def evaluate(node: str, scripts: tuple[str, ...], expression: str, given: Any = None) -> Any:
    """Return the value of a JavaScript ``expression``; there ``given`` holds what is handed over."""
    job = {"scripts": [str(ROOT / path) for path in scripts], "expression": expression, "given": given}
    run = subprocess.run(
        [node, "-e", _RUN], input=json.dumps(job), capture_output=True, text=True, encoding="utf-8", check=False
    )
    assert run.returncode == 0, run.stderr
    return json.loads(run.stdout)

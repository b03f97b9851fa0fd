"""How fast a guide is made, beside a bare print of the same guide in the same run: prints ratios, tests nothing.

    python -m tests.benchmarks.making [--sizes XS,S,M,L] [--only cold,again,...] [--remember FILE]

For each size a guide is invented (`tests.benchmarks.guides`) and made by the very command that an editor types. Every
figure is time of the processor, of the whole command with all the processes that it starts, so that other work on the
machine does not count. *Bare* is the bare print (`tests.benchmarks.bare_print`). The growth of a stage is the exponent
fitted over the sizes, in forms: seconds = c * forms ** exponent. Memory is the most that one process held. The modules
of the program are compiled beforehand, as they are on an editor's machine after the first call. With ``--remember``
sizes may be measured one by one: the seconds by stage are kept in a file, and the growth is that of all sizes in it.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from math import log
from pathlib import Path
from typing import NamedTuple

from tests.benchmarks.guides import SIZES, save_change, write_guide
from tests.benchmarks.stages import STAGES
from tests.conftest import ROOT

PARTS = ("cold", "stages", "again", "preview", "check", "ask")


class Spent(NamedTuple):
    """What a command took: seconds of the processor, the most memory in MB, and what it printed."""

    seconds: float
    memory: float
    printed: str


def run(*arguments: str | Path) -> Spent:
    """Run a Python command of this project and return what it took; an exit status of 2 or more is raised."""
    compiled = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    with tempfile.TemporaryFile("w+", encoding="utf-8") as printed:
        command = [sys.executable, *map(str, arguments)]
        process = subprocess.Popen(command, cwd=ROOT, env=compiled, stdout=printed, stdin=subprocess.DEVNULL)
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode not in (0, 1):
            raise subprocess.CalledProcessError(process.returncode, command)
        printed.seek(0)
        return Spent(used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, printed.read())


class Site:
    """One guide of a size in a folder, and what making it takes."""

    def __init__(self, name: str, folder: Path) -> None:
        self.name, self.content, self.out = name, folder / name, folder / f"{name}-out"
        write_guide(self.content, SIZES[name])

    def build(self, *arguments: str) -> Spent:
        """Make the guide as an editor does."""
        return run("build.py", *arguments, "--content", self.content, "--out", self.out)

    def forget(self) -> None:
        """Remove what has been made and kept."""
        for path in (self.out, self.out.with_name(f".{self.out.name}.cache")):
            shutil.rmtree(path, ignore_errors=True)


def row(what: str, ratio: float, wanted: str, detail: str) -> None:
    """Print one line of the table."""
    print(f"  {what:<38} {ratio:7.2f}   {wanted:<14} {detail}", flush=True)


def measure(site: Site, parts: Sequence[str], folder: Path) -> dict[str, float]:
    """Print a guide's ratios, and return the seconds by stage."""
    size = SIZES[site.name]
    print(f"\n{site.name}: {size.marks} parts, {size.forms} forms" + " " * 22 + "ratio   wanted")
    bare = json.loads(run("-m", "tests.benchmarks.bare_print", site.content, folder / f"{site.name}-bare").printed)
    print("  bare print: " + ", ".join(f"{part} {seconds:.2f}" for part, seconds in bare.items()))
    print_seconds = sum(bare.values())
    spent: dict[str, float] = {}
    site.forget()
    cold = site.build()
    if "cold" in parts:
        row("cold, of the bare print", cold.seconds / print_seconds, "2 at most", f"{cold.seconds:.2f} s")
        row("memory, MB", cold.memory, "300 at L", "")
        spent["the whole"] = cold.seconds
    if "again" in parts:
        for what, wanted in (("nothing", "0.15 at most"), ("text", "0.2 at most"), ("date", "0.4 at most")):
            if what != "nothing":
                save_change(site.content, what)
            again = site.build()
            row(f"again, {what} changed, of cold", again.seconds / cold.seconds, wanted, f"{again.seconds:.2f} s")
    if "preview" in parts:
        edited = shutil.copytree(site.content, folder / f"{site.name}-edited")
        saved = json.loads(run("-m", "tests.benchmarks.saving", edited).printed)
        for what, wanted in (("text", "0.1 at most"), ("date", "0.3 at most")):
            row(f"preview, {what} saved to page, of cold", saved[what] / cold.seconds, wanted, f"{saved[what]:.2f} s")
    if "check" in parts:
        kept = site.build("check")
        site.forget()
        fresh = site.build("check")
        row("check, of the bare print", fresh.seconds / print_seconds, "1 at most", f"{fresh.seconds:.2f} s")
        row("check with what is kept", kept.seconds / print_seconds, "0.3 at most", f"{kept.seconds:.2f} s")
    if "ask" in parts:
        site.build()
        version = run("build.py", "--version")
        mark = sorted((site.content / "marks").glob("*.yml"))[0].stem
        asked = site.build("ask", f"{mark}=cannot-tell", "--json")
        row("a first answer, of --version", asked.seconds / version.seconds, "5 at most", f"{asked.seconds:.2f} s")
    if "stages" in parts:
        site.forget()
        told = run("-m", "tests.benchmarks.stages", site.content, site.out).printed
        spent |= json.loads(told)
    return spent


def growth(spent: Mapping[int, float]) -> float:
    """Return the exponent of seconds in forms, by least squares of the logarithms."""
    points = [(log(forms), log(max(seconds, 1e-4))) for forms, seconds in spent.items()]
    x, y = (sum(column) / len(points) for column in zip(*points, strict=True))
    slope: float = sum((a - x) * (b - y) for a, b in points) / sum((a - x) ** 2 for a, _ in points)
    return slope


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sizes", default=",".join(SIZES))
    parser.add_argument("--only", default=",".join(PARTS))
    parser.add_argument("--remember", type=Path)
    options = parser.parse_args()
    names, parts = options.sizes.split(","), options.only.split(",")
    spent: dict[str, dict[str, float]] = {}
    if options.remember and options.remember.exists():
        spent = json.loads(options.remember.read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as folder:
        run("-m", "compileall", "-q", "guide", "tests/benchmarks")
        for name in names:
            spent[name] = spent.get(name, {}) | measure(Site(name, Path(folder)), parts, Path(folder))
            if options.remember:
                options.remember.write_text(json.dumps(spent), encoding="utf-8")
    spent = {name: spent[name] for name in SIZES if name in spent}
    if len(spent) < 2:
        return
    print("\ngrowth in forms" + " " * 34 + "exponent  wanted at most")
    for stage in ("the whole", *STAGES):
        by_forms = {SIZES[name].forms: one[stage] for name, one in spent.items() if stage in one}
        if len(by_forms) > 1:
            seconds = ", ".join(f"{taken:.2f}" for taken in by_forms.values())
            print(f"  {stage:<45} {growth(by_forms):6.2f}   {1.15 if stage == 'the whole' else 1.3}   ({seconds} s)")


if __name__ == "__main__":
    main()

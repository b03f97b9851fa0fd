"""The counts of trust, in one command: `python -m tests.trust`; each line says what was tried and what of it failed.

The counts that should be nought are, and the command ends with 1 where one is not. With ``--times 10`` everything that
is random or repeated is tried ten times as often; what was tried from outside at great length is tried so by the
commands that the lines name.
"""

from __future__ import annotations

import argparse
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterator
from typing import Any

__all__ = ["RUN_TIME", "asked_of_a_network", "bill", "counts", "rests_on"]

ROOT = pathlib.Path(__file__).resolve().parents[1]
STARTER = ROOT / "guide" / "command" / "starter"
RUN_TIME = {"jinja2", "livereload", "markdown", "markupsafe", "pillow", "pyyaml", "tornado"}
_LISTENING = """
import json, sys
asked = []
def listen(event, arguments):
    if event == "socket.connect" and isinstance(arguments[1], tuple):
        asked.append(str(arguments[1][0]))
    elif event in ("socket.getaddrinfo", "socket.gethostbyname"):
        asked.append(str(arguments[0]))
sys.addaudithook(listen)
try:
    exec(sys.argv[1])
except (SystemExit, OSError):
    pass
print(json.dumps(asked), file=sys.stderr)
"""
_MAKE = "from guide.command.main import main; main(sys.argv[2:])"
Count = tuple[str, int, str, int | None]  # what was tried, how often, what failed, how often (None: only counted)


def bill() -> dict[str, Any]:
    """Return the bill of materials of what is installed, as CycloneDX (ECMA-424); made by cyclonedx-py."""
    call = [
        sys.executable,
        "-m",
        "cyclonedx_py",
        "environment",
        "--pyproject",
        "pyproject.toml",
        "--output-reproducible",
    ]
    found: dict[str, Any] = json.loads(subprocess.run(call, cwd=ROOT, capture_output=True, check=True).stdout)
    return found


def rests_on(bill: dict[str, Any]) -> list[tuple[str, str, str, str]]:
    """Return name, version, licence and address (purl) of all that the project needs at run time, by name.

    What needs what is said by each package itself; the bill names besides what one of them could use.
    """
    from importlib.metadata import requires

    from packaging.requirements import Requirement

    parts = {one["name"].lower().replace("_", "-"): one for one in bill["components"]}
    declared = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["dependencies"]
    needed, found = list(declared), dict[str, None]()
    while needed:
        one = Requirement(needed.pop())
        name = one.name.lower().replace("_", "-")
        if name not in found and (one.marker is None or one.marker.evaluate({"extra": ""})):
            found[name] = None
            needed += requires(name) or []
    return [
        (name, parts[name]["version"], json.dumps(parts[name].get("licenses", [])), parts[name].get("purl", ""))
        for name in sorted(found)
    ]


def asked_of_a_network(arguments: list[str], program: str = _MAKE) -> list[str]:
    """Return the hosts that a process of its own asked for while it made a guide, or did what ``program`` says."""
    with tempfile.TemporaryDirectory() as folder:
        out = ["--out", f"{folder}/out"] if arguments else []
        call = [sys.executable, "-c", _LISTENING, program, *arguments, *out]
        run = subprocess.run(call, cwd=ROOT, capture_output=True, text=True, check=True)
    asked: list[str] = json.loads(run.stderr.splitlines()[-1])
    return asked


def _publishing(times: int) -> Iterator[Count]:
    from tests.press import test_publishing_cut_short as cut

    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        for end in (cut.kill, cut.refuse, cut.interrupt):
            found = [
                cut.outcomes(situation, end, work / f"{end.__name__}-{turn}-{at}")
                for turn in range(times)
                for at, situation in enumerate(cut.SITUATIONS)
            ]
            tried = sum(one.total() for one in found)
            yield f"publishing cut short ({end.__name__})", tried, "not whole", tried - sum(one[""] for one in found)
        rounds = cut.several_at_once(work / "at-once", 5 * times)
        yield "four builds at once", rounds.total(), "not whole", rounds.total() - rounds[""]


def _spoilt(times: int) -> Iterator[Count]:
    from tests.fuzz import handed_over, spoil

    found = spoil.tried(range(200 * times), lambda seed, said: print(f"  {seed}: {said}"))
    yield "spoilt guides (python -m tests.fuzz.spoil)", found.total(), "troubles", found.total() - found[""]
    node = shutil.which("node") or shutil.which("nodejs")
    if node is not None:
        said = handed_over.troubles(range(200 * times), node)
        yield (
            "spoilt pictures, addresses, lines, notes (python -m tests.fuzz.handed_over)",
            800 * times,
            "troubles",
            len(said),
        )


def _going_out() -> Iterator[Count]:
    from guide.press.disclosed import disclosed
    from tests.press.test_disclosed import NEVER, every_byte, leaks, made, planted

    with tempfile.TemporaryDirectory() as folder:
        content = planted(pathlib.Path(folder))
        making = made(content)
        site = making.whole()
        yield (
            "files, and files within files, searched",
            sum(1 for _ in every_byte(site)),
            "planted things found",
            len(leaks(site)),
        )
        out = disclosed(making.shelf, site, content)
        seen = sum("seen" in one.kinds or "car-seen" in one.kinds for one in out.numbers)
        whole = sum(one.files > 0 for one in out.numbers if "paper" not in one.kinds)
        yield f"numbers of real cars masked ({len(NEVER)} things planted)", seen, "printed whole", whole
        pages = [data for name, data in site.items() if name.endswith(".html")]
        open_pages = sum(b"Content-Security-Policy\" content=\"default-src 'none'" not in data for data in pages)
        yield "pages", len(pages), "without a content policy", open_pages
        loads = [data for data in pages if b'src="http' in data or b'src="//' in data]
        yield "pages", len(pages), "that load from elsewhere", len(loads)


def _asking() -> Iterator[Count]:
    from guide.press.own_host import answers

    hosts = ("tern.example", "tern.example:5500", "127.0.0.1:1", "127.0.0.1:5500.tern.example", "", "[::1]:5500")
    strange = [{"host": host} for host in hosts]
    own = {"host": "127.0.0.1:5500"}
    strange += [{**own, "origin": origin} for origin in ("http://tern.example", "null", "https://127.0.0.1:5500")]
    strange += [{**own, "sec-fetch-site": site, "sec-fetch-mode": "no-cors"} for site in ("cross-site", "same-site")]
    answered = sum(answers(headers, 5500) for headers in strange)
    yield "requests to the preview by other names and sites", len(strange), "answered", answered
    yield "guides made", 1, "hosts asked for", len(asked_of_a_network(["--content", str(STARTER)]))


def _rests_on() -> Iterator[Count]:
    listed = bill()
    found = rests_on(listed)
    yield "packages installed (CycloneDX)", len(listed["components"]), "", None
    names = ", ".join(f"{name} {version}" for name, version, *_ in found)
    strange = len({name for name, *_ in found} ^ RUN_TIME)
    yield f"packages at run time ({names})", len(found), "not foreseen or missing", strange


def counts(times: int) -> Iterator[Count]:
    """Yield every count."""
    yield from _publishing(times)
    yield from _spoilt(times)
    yield from _going_out()
    yield from _asking()
    yield from _rests_on()


def main() -> int:
    """Print every count; return 1 where one is not nought that should be."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--times", type=int, default=1)
    failed = 0
    for what, tried, fault, times in counts(parser.parse_args().times):
        print(f"{what}: {tried}" + ("" if times is None else f"; {fault}: {times}"), flush=True)
        failed += times or 0
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

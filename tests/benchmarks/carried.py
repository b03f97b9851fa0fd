"""What a reader's phone carries, at L beside S, in one run: prints ratios beside the goals, tests nothing.

    python -m tests.benchmarks.carried [--made FOLDER]

Makes the guides S and L (`tests.benchmarks.guides`), or finds them in FOLDER/S and FOLDER/L; serves each and lets
Chromium, cache cold, date a car until its second answer. Bytes are what a server sends with gzip, level 6; times are
of a processor slowed down six times for the question and four times for the first look, the best of five, beside those
of a bare page of the same weight, which is looked at in turn with it.
"""

from __future__ import annotations

import argparse
import gzip
import pathlib
import tempfile
from typing import Any
from urllib.parse import unquote, urlsplit

from playwright.sync_api import sync_playwright

from guide.command.main import main as command
from guide.press.single_file import MOST_BYTES, SINGLE
from tests.benchmarks.guides import SIZES, write_guide
from tests.browser.site import Watched, open_page, serve
from tests.conftest import CHROMIUM, CHROMIUM_ARGUMENTS, find_program

_PAINTED = "performance.getEntriesByName('first-contentful-paint').map((one) => one.startTime)[0] || 0"


def sent(path: pathlib.Path) -> int:
    """Return what a server sends of a file."""
    return len(gzip.compress(path.read_bytes(), 6, mtime=0))


def dated(watched: Watched, address: str, out: pathlib.Path) -> dict[str, int]:
    """Give two answers, and return what was asked for from the start page on, with the bytes sent."""
    page = watched.page
    page.goto(address)
    page.locator("a[href^='key.html']").first.click()
    page.locator("[data-begin] [type=submit]").click()
    for _ in range(2):
        before = page.url
        page.locator("[data-answer]:visible").first.click()
        page.wait_for_url(lambda url, before=before: url != before)
    page.wait_for_load_state("networkidle")
    asked = {urlsplit(url).path for url in watched.requests if url.startswith(address)}
    names = sorted(unquote(path).lstrip("/") or "index.html" for path in asked)
    return {name: sent(out / name) for name in names if (out / name).is_file()}


def slowed(chromium: Any, urls: list[str], rate: int, ready: str | None, measured: str) -> list[float]:
    """Return the best of five times in milliseconds of each of some pages, taken in turn, the processor slowed down."""
    best = [float("inf")] * len(urls)
    for at, url in [*enumerate(urls)] * 5:
        with open_page(chromium, service_workers="block") as watched:
            session = watched.page.context.new_cdp_session(watched.page)
            session.send("Emulation.setCPUThrottlingRate", {"rate": rate})
            watched.page.goto(url)
            if ready:
                watched.page.locator(ready).first.wait_for()
            else:
                watched.page.wait_for_function(f"({measured}) > 0")
            best[at] = min(best[at], float(watched.page.evaluate(measured)))
    return best


def bare_page(folder: pathlib.Path, weight: int) -> pathlib.Path:
    """Write a page of so many bytes that shows one line and runs nothing."""
    folder.mkdir(parents=True, exist_ok=True)
    page = folder / "index.html"
    page.write_text(f"<!doctype html><title>x</title><p>x</p><!--{'x' * weight}-->", encoding="utf-8")
    return page


def row(what: str, found: float, goal: str) -> None:
    """Print one line of the table."""
    print(f"  {what:<58}{found:>12,.2f}   {goal}")


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--made", type=pathlib.Path)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as held, sync_playwright() as started:
        made = options.made or pathlib.Path(held)
        for size in ("S", "L"):
            if not (made / size).is_dir():
                write_guide(made / f"{size}-content", SIZES[size])
                assert command(["--content", str(made / f"{size}-content"), "--out", str(made / size)]) == 0
        path = find_program(*CHROMIUM)
        chromium = started.chromium.launch(executable_path=path, args=list(CHROMIUM_ARGUMENTS))
        times = dict[str, float]()
        for size in ("S", "L"):
            out = made / size
            with serve(out) as address:
                with open_page(chromium, service_workers="block") as watched:
                    weights = dated(watched, address, out)
                asking = f"{address}key.html#--reach=outside,glass"
                (times[size],) = slowed(chromium, [asking], 6, "h1.ask", "performance.now()")
                whole = sum((out / name).stat().st_size for name in weights)
                with serve(bare_page(pathlib.Path(held) / f"bare-{size}", whole).parent) as other:
                    look, bare = slowed(chromium, [f"{address}key.html", other], 4, None, _PAINTED)
            print(f"{size}: until the second answer")
            for name, weight in sorted(weights.items(), key=lambda item: -item[1])[:6]:
                print(f"    {weight:>8,}  {name}")
            row("requests", len(weights), "few")
            row("kB sent", sum(weights.values()) / 1000, "at most 150 at L")
            row("kB sent of the model", weights.get("data/model.js", 0) / 1000, "at most 40 at L")
            row("first look, beside a bare page of the same weight", look / bare, "at most 3")
            row("MB of the single file", (out / SINGLE).stat().st_size / 1e6, f"at most {MOST_BYTES / 1e6}")
        row("first question at L beside S", times["L"] / times["S"], "at most 1.5")
        chromium.close()


if __name__ == "__main__":
    main()

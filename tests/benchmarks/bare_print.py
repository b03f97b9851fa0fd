"""The bare print: what a guide's site costs when everything that it says is known already; the yardstick of speed.

    python -m tests.benchmarks.bare_print CONTENT OUT

In one process: the packages are imported, the theme's templates compiled, the very pages of the guide (the single
file among them) laid out from contexts worked out beforehand, each distinct text turned from Markdown once, and the
same archives and files written; as in the program nobody looks for cycles of what is left behind. Prints the seconds
of the processor of each part as JSON; what lies between, working out the contexts, is in none of them.
"""

from __future__ import annotations

import gc
import io
import json
import re
import sys
import time
import zipfile

BEGAN = time.process_time()
gc.disable()  # as `guide.command.main` has it
import jinja2  # noqa: E402, F401  (the time they take is measured)
import markdown  # noqa: E402, F401
import PIL.Image  # noqa: E402, F401
import yaml  # noqa: E402, F401

IMPORTED = time.process_time()

from collections.abc import Callable, Mapping  # noqa: E402
from pathlib import Path  # noqa: E402
from typing import Any, TypeVar  # noqa: E402
from unittest.mock import patch  # noqa: E402

from markupsafe import Markup  # noqa: E402

from guide.command.work import make_guide  # noqa: E402
from guide.pages.listing import PAGES  # noqa: E402
from guide.pages.shelf import Address, Context, Page, Shelf  # noqa: E402
from guide.press.archive import ARCHIVE, zip_of, zipped  # noqa: E402
from guide.press.compiled import COMPILED  # noqa: E402
from guide.press.content_archive import CONTENT  # noqa: E402
from guide.press.offline import mark_of, unmarked  # noqa: E402
from guide.press.render import Renderer  # noqa: E402
from guide.press.scripts import Scripts  # noqa: E402
from guide.press.single_file import SingleFile  # noqa: E402
from guide.press.theme import open_theme  # noqa: E402

Result = TypeVar("Result")
THEME = open_theme()


def measured(spent: dict[str, float], part: str, work: Callable[[], Result]) -> Result:
    """Do some work and add the seconds of the processor it takes to a part."""
    began = time.process_time()
    result = work()
    spent[part] = spent.get(part, 0.0) + time.process_time() - began
    return result


def known(content: Path) -> tuple[Shelf, Mapping[str, bytes]]:
    """Return what the pages of a guide are made from, and its finished site."""
    kept: list[Shelf] = []
    began = Renderer.__init__

    def begin(self: Renderer, shelf: Shelf, *others: Any) -> None:
        kept.append(shelf)
        began(self, shelf, *others)

    with patch.object(Renderer, "__init__", begin):
        _, site = make_guide(content, THEME, stop_on="errors")
    assert site is not None, f"{content} cannot be built"
    return kept[-1], site


def bare_print(content: Path, out: Path) -> dict[str, float]:
    """Return the seconds of each part of the bare print of a guide."""
    shelf, site = known(content)
    pages = [(page, address) for page in PAGES for address in page.addresses(shelf)]
    ready: Mapping[tuple[str, str], Context] = {(page.kind, at.id): page.context(shelf, at) for page, at in pages}
    texts: dict[tuple[str, str, int], Markup] = {}
    turned = Renderer._text

    def fill(self: Renderer, template: str, page: Page, address: Address, given: Mapping[str, Any]) -> str:
        context = ready.get((page.kind, address.id), {})
        about = self._about(address, context)
        return self._environment.get_template(template).render({**given, "about": about, **context})

    def text(self: Renderer, here: Address, text: str, record: Any, level: int, picture: Any) -> Markup:
        key = (text, getattr(record, "id", ""), level)
        if key not in texts:
            texts[key] = turned(self, here, text, record, level, picture)
        return texts[key]

    spent = {"starting": BEGAN, "importing": IMPORTED - BEGAN}
    COMPILED.found.clear()  # what working out the contexts has compiled: here it is counted
    with patch.multiple(Renderer, fill=fill, _text=text):
        scripts = Scripts(THEME)
        renderer = Renderer(shelf, THEME, scripts)
        measured(spent, "compiling", lambda: [renderer._environment.get_template(page.template) for page in PAGES])
        printed = measured(spent, "laying out", lambda: {at.path: renderer.render(page, at) for page, at in pages})
        single = measured(spent, "laying out", lambda: SingleFile(shelf, THEME, scripts, None, site).files())
    whole = {**site, **printed, **single}
    mark = mark_of(site)
    other = [
        name for name in printed if _without_links(printed[name]) != _without_links(unmarked(name, site[name], mark))
    ]
    assert not other, f"the bare print differs from the site: {other[:9]}, {list(renderer.findings)[:1]}"
    rest = {name: data for name, data in whole.items() if name not in (ARCHIVE, CONTENT)}
    with zipfile.ZipFile(io.BytesIO(site[CONTENT])) as facts:
        own = {name.partition("/")[2]: facts.read(name) for name in facts.namelist()}
    rest |= measured(spent, "archive", lambda: {CONTENT: zipped("content", own)})
    rest |= measured(spent, "archive", lambda: zip_of(rest))
    measured(spent, "writing", lambda: _write(out, rest))
    return spent


def _without_links(page: bytes) -> bytes:
    """Return a page without where its links lead: of a text that is turned once, they are right in one place alone."""
    return re.sub(rb' (href|src)="[^"]*"', b"", page)


def _write(out: Path, site: Mapping[str, bytes]) -> None:
    for name, data in site.items():
        path = out / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


if __name__ == "__main__":
    json.dump(bare_print(Path(sys.argv[1]), Path(sys.argv[2])), sys.stdout)

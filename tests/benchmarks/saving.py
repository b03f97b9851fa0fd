"""What a save costs in the preview until the page of the part that was edited is there, as JSON.

    python -m tests.benchmarks.saving CONTENT

As when an editor works at a part and looks at its page: a text is saved and the page asked for, and again; then a date,
and again. Seconds of the processor, of the second time.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

from guide.command.work import Worked, begin_guide
from guide.press.cache import Cache
from tests.benchmarks.bare_print import THEME
from tests.benchmarks.guides import save_change


def shown(content: Path, page: str, before: Worked | None) -> Worked:
    """Work a guide out as the preview does, and make one page."""
    worked, making = begin_guide(content, THEME, Cache(None), before)
    assert making is not None
    assert isinstance(making.get(page), bytes)
    return worked


def saving(content: Path) -> dict[str, float]:
    """Return the seconds from a save to its page, for a text and for a date."""
    spent = {}
    worked = shown(content, "index.html", None)
    for what in ("text", "text", "date", "date"):  # the second counts: its page has been looked at
        page = f"marks/{save_change(content, what).stem}.html"
        began = time.process_time()
        worked = shown(content, page, worked)
        spent[what] = time.process_time() - began
    return spent


if __name__ == "__main__":
    json.dump(saving(Path(sys.argv[1])), sys.stdout)

"""What each stage of the flow takes when a guide is made, in seconds of the processor, as JSON.

    python -m tests.benchmarks.stages CONTENT OUT

Time is counted once: what a stage has another do for it is the other's. What is worked out late, when a page first
asks for it, is its own stage's all the same.
"""

from __future__ import annotations

import gc
import json
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

from guide.command import make, work
from guide.command.calls import Call
from guide.dating.building import build
from guide.dating.card import CardMaker
from guide.dating.key import Key
from guide.pages.kinds import tally
from guide.pages.listing import FILES
from guide.pages.shelf import Page
from guide.press import make as press
from guide.press.render import Renderer
from guide.tally import count
from guide.words.say import load_words

STAGES = ("facts", "limits", "dating", "tally", "checks", "pages", "press", "archive", "publishing")
_TALLIED = (  # what the tally works out late
    "built_with",
    "changeovers_of",
    "follows_of",
    "is_any_worth_looking",
    "look_for",
    "series_seen",
    "suggestions_of",
    "survival_of",
    "unfit_cars",
)


class Clock:
    """Seconds of the processor by stage; the innermost stage that is running is the one that spends."""

    def __init__(self) -> None:
        self.spent = dict.fromkeys(STAGES, 0.0)
        self._running: list[str] = []
        self._since = time.process_time()

    @contextmanager
    def running(self, stage: str) -> Iterator[None]:
        """Count what is done within to a stage."""
        self._turn()
        self._running.append(stage)
        yield
        self._turn()
        self._running.pop()

    def _turn(self) -> None:
        now = time.process_time()
        if self._running:
            self.spent[self._running[-1]] += now - self._since
        self._since = now

    def timed(self, stage: str, work: Callable[..., Any]) -> Callable[..., Any]:
        """Return some work whose time is counted to a stage."""

        def counted(*given: Any, **named: Any) -> Any:
            with self.running(stage):
                return work(*given, **named)

        return counted


def stages(content: Path, out: Path) -> dict[str, float]:
    """Make a guide, publish it, and return the seconds that each stage took."""
    gc.disable()  # as `guide.command.main` has it
    clock = Clock()
    owners: tuple[tuple[Any, str, str], ...] = (
        (work, "read_guide", "facts"),
        (work, "derive_limits", "limits"),
        (build, "build_model", "dating"),
        (work, "derive_tally", "tally"),
        (work, "check_guide", "checks"),
        (work, "make_site", "press"),
        (press, "make_shelf", "pages"),
        (press, "zip_of", "archive"),
        (make, "publish_guide", "publishing"),
        *((Key, name, "dating") for name in ("of", "dated", "nine_in_ten", "share_of", "most_telling")),
        *((Key, name, "dating") for name in ("tell_apart", "tell_apart_by", "best_pair", "cells_of")),
        (tally, "report", "tally"),
        *((count, name, "tally") for name in _TALLIED),
        *((CardMaker, name, "dating") for name in vars(CardMaker) if not name.startswith("_")),
    )
    filled = Renderer.fill

    def fill(self: Renderer, template: str, page: Page, *others: Any) -> str:
        timed = Page(page.kind, page.addresses, clock.timed("pages", page.context), page.template)
        return filled(self, template, timed, *others)

    with ExitStack() as held:
        for owner, name, stage in owners:
            own = vars(owner)[name]
            if callable(own):
                held.enter_context(patch.object(owner, name, clock.timed(stage, own)))
        held.enter_context(patch.object(Renderer, "fill", fill))
        held.enter_context(patch.object(press, "can_help", lambda _: False))  # all in this process, whose time it is
        held.enter_context(patch.object(press, "FILES", [clock.timed("pages", files) for files in FILES]))
        with open("/dev/null", "w", encoding="utf-8") as nowhere:
            make.run(Call(content=content, out=out, words=load_words("en"), printed=nowhere))
    return clock.spent


if __name__ == "__main__":
    json.dump(stages(Path(sys.argv[1]), Path(sys.argv[2])), sys.stdout)

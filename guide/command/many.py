"""Many cars in one call, spread over the machine's processors: the same lines in the same order as from one.

Each process is started afresh (the way Windows has, and safe everywhere), is handed the model once, and concludes
runs of cars. A car's result rests on the model and its answers alone, so it is the same wherever it is worked out.
Where processes cannot be had, or the cars are too few to be worth starting any, this one does it all.
"""

from __future__ import annotations

import json
import multiprocessing
import os
import signal
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import TYPE_CHECKING

from guide.dating.belief.evidence import Session
from guide.dating.belief.state import ImpossibleEvidence
from guide.dating.key import Key
from guide.dating.model import Model
from guide.dating.output import as_output
from guide.sentence import sentence
from guide.words.say import load_words

if TYPE_CHECKING:
    from guide.dating.building.behind import Reasons

__all__ = ["conclude_all", "processes_for"]

_CARS_A_PROCESS = 100  # fewer take less time than a process takes to start
_CARS_A_RUN = 25  # handed over at a time: little to wait for at the end, little to send to and fro
_MOST = 61  # Windows waits for no more at once (Python, "concurrent.futures", ProcessPoolExecutor)

_keys: list[tuple[Key, Reasons]] = []  # the one key of a process that was started here, with its reasons


def processes_for(cars: int) -> int:
    """Return how many processes to spread so many cars over; 1 is this one alone."""
    processors = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return max(1, min(processors, cars // _CARS_A_PROCESS, _MOST))


def conclude_all(key: Key, reasons: Reasons, sessions: Sequence[Session], processes: int) -> Iterator[str]:
    """Yield each car's result as a line of JSON, in order; of a car that could not be, the line says so.

    ``reasons`` are the statements behind what a car should have, as `as_output` takes them.
    """
    done = 0
    if processes > 1:
        try:
            for line in _spread(key.model, reasons, sessions, processes):
                yield line
                done += 1
        except (BrokenProcessPool, OSError):
            pass  # no more processes to be had: what is left is done here
    for session in sessions[done:]:
        yield _line(key, reasons, session)


def _spread(model: Model, reasons: Reasons, sessions: Sequence[Session], processes: int) -> Iterator[str]:
    pool = ProcessPoolExecutor(
        processes, mp_context=multiprocessing.get_context("spawn"), initializer=_begin, initargs=(model, reasons)
    )
    try:
        yield from pool.map(_conclude_here, sessions, chunksize=_CARS_A_RUN)
    finally:
        pool.shutdown(wait=False, cancel_futures=True)


def _begin(model: Model, reasons: Reasons) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever stops the call stops it in the first process
    _keys.append((Key(model), reasons))


def _conclude_here(session: Session) -> str:
    return _line(*_keys[0], session)


def _line(key: Key, reasons: Reasons, session: Session) -> str:
    try:
        said = as_output(key.dated(session), reasons)
    except ImpossibleEvidence:
        said = {"format": 1, "error": sentence("command.ask.impossible")}
    return json.dumps(load_words(key.model.language).told(said), ensure_ascii=False)

"""Publishing cut short: killed, refused by the disk, interrupted, or done by several at once. Always a whole edition.

The cuts do not come at random moments but at every touch of the disk in turn: the audit events of Python (PEP 578) name
each opening, renaming, making, listing and removing; writing and syncing are counted by themselves.
`python -m tests.press.test_publishing_cut_short` does the same at length and prints the counts.
"""

from __future__ import annotations

import itertools
import os
import pathlib
import shutil
import signal
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator

import pytest

from guide.press.publish import go_back, ignore_interrupts, publish_guide, recover_out
from tests.press.test_publish import files, names

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="every cut is made in a fork")

SITES = {
    "first": {"index.html": b"first", "marks/switches.html": b"switches", "style/look.css": b"p{}"},
    "second": {"index.html": b"second", "marks/lamps.html": b"lamps"},
    "third": {"index.html": b"third", "about.html": b"about"},
}
NEVER_CAME, REFUSED, KILLED, INTERRUPTED = 0, 7, 9, 130
TOUCHES = ("open", "os.rename", "os.remove", "os.rmdir", "os.mkdir", "os.scandir", "os.listdir")
AT_REST = {".out.publishing", ".out.publishing/before", ".out.publishing/lock", "out"}
Command = Callable[[pathlib.Path], object]


def publishing(name: str) -> Command:
    return lambda out: publish_guide(SITES[name], out, edition=name, too_late=ignore_interrupts)


def going_back(out: pathlib.Path) -> object:
    return go_back(out, too_late=ignore_interrupts)


# What stood before, what is done, and what stands when it is done.
SITUATIONS: dict[str, tuple[tuple[str, ...], Command, str]] = {
    "the first ever": ((), publishing("first"), "first"),
    "a second": (("first",), publishing("second"), "second"),
    "a third, with one kept": (("first", "second"), publishing("third"), "third"),
    "the same again": (("first", "second"), publishing("second"), "second"),
    "going back": (("first", "second"), going_back, "first"),
}


def stand(folder: pathlib.Path, published: tuple[str, ...]) -> pathlib.Path:
    for name in published:
        assert publish_guide(SITES[name], folder / "out", edition=name) == ()
    return folder / "out"


def forked(work: Callable[[], int]) -> int:
    """Do something in a process of its own, and return how that ended."""
    child = os.fork()
    if child == 0:
        try:
            os._exit(work())
        except KeyboardInterrupt:
            os._exit(INTERRUPTED)
        except BaseException:
            os._exit(1)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def cut(step: int, out: pathlib.Path, command: Command, end: Callable[[], object]) -> int:
    """Do a command that comes to an ``end`` at its ``step``-th touch of the disk; in a fork."""
    touches, came = itertools.count(), False

    def touch() -> None:
        nonlocal came
        if next(touches) == step:
            came = True
            end()

    def listen(event: str, arguments: tuple[object, ...]) -> None:
        if event in TOUCHES and not str(arguments[0]).startswith(sys.prefix):
            touch()

    def written(path: pathlib.Path, data: bytes) -> int:
        with open(path, "wb") as file:
            file.write(data[: len(data) // 2])
            file.flush()
            touch()
            file.write(data[len(data) // 2 :])
        return len(data)

    sync = os.fsync

    def synced(file: int) -> None:
        touch()
        sync(file)

    os.fsync, pathlib.Path.write_bytes = synced, written  # type: ignore[method-assign,assignment]
    sys.addaudithook(listen)
    command(out)
    return REFUSED if came else NEVER_CAME


def kill() -> None:
    os._exit(KILLED)


def refuse() -> None:
    raise OSError(5, "input/output error")


def interrupt() -> None:
    os.kill(os.getpid(), signal.SIGINT)


def cuts(situation: str, end: Callable[[], object], work: pathlib.Path) -> Iterator[tuple[int, pathlib.Path]]:
    """Cut a command short at each of its touches; yield every time how the process ended, and ``out``."""
    published, command, _ = SITUATIONS[situation]
    before = stand(work / f"{end.__name__}-before", published).parent
    before.mkdir(exist_ok=True)
    for step in itertools.count():
        out = pathlib.Path(shutil.copytree(before, work / f"{end.__name__}-{step}")) / "out"
        ended = forked(lambda step=step, out=out: cut(step, out, command, end))  # type: ignore[misc]
        if ended == NEVER_CAME:
            return
        yield ended, out


def wrong(situation: str, ended: int, out: pathlib.Path) -> str:
    """Return what is wrong after a cut, or nothing; then publish again, and return what is wrong with that."""
    published, _, then = SITUATIONS[situation]
    before = SITES[published[-1]] if published else {}
    left = files(out)
    if out.exists() and left not in (before, SITES[then]):
        return f"neither whole edition, but {sorted(left)}"
    if ended == INTERRUPTED and left != before:
        return "interrupted, and changed"
    if ended != KILLED and published and not out.exists():
        return "gone, though nobody was killed"
    recover_out(out)
    if published and files(out) not in (before, SITES[then]):
        return "not made whole by the next command"
    found = publish_guide(SITES["third"], out, edition="third")
    if found or files(out) != SITES["third"]:
        return f"the next command did not work: {[finding.code for finding in found]}"
    return f"left over: {sorted(set(names(out)) - AT_REST)}" if set(names(out)) - AT_REST else ""


def outcomes(situation: str, end: Callable[[], object], work: pathlib.Path) -> Counter[str]:
    work.mkdir(exist_ok=True)
    return Counter(wrong(situation, ended, out) for ended, out in cuts(situation, end, work))


def several_at_once(work: pathlib.Path, rounds: int) -> Counter[str]:
    """Let four commands publish to one folder at the same time; count what is wrong after each round."""
    found: Counter[str] = Counter()
    for turn in range(rounds):
        out = work / str(turn) / "out"
        out.parent.mkdir(parents=True)
        children = []
        for number in range(4):
            child = os.fork()
            if child == 0:
                site = {f"pages/{page}.html": b"%d" % number * 2000 for page in range(40)}
                os._exit(len(publish_guide(site, out, edition=str(number))))
            children.append(child)
        ended = [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children]
        left = set(files(out).values())
        whole = len(files(out)) == 40 and len(left) == 1 and set(names(out)) <= AT_REST
        found["" if whole and ended == [0] * 4 else f"{len(files(out))} files, {len(left)} editions, {ended}"] += 1
    return found


@pytest.mark.parametrize("end", [kill, refuse, interrupt])
@pytest.mark.parametrize("situation", SITUATIONS)
def test_whatever_cuts_it_short_leaves_a_whole_edition(
    situation: str, end: Callable[[], object], tmp_path: pathlib.Path
) -> None:
    found = outcomes(situation, end, tmp_path)
    assert set(found) == {""}
    assert found.total() > (4 if situation == "the same again" else 15)  # the cuts did come


def test_half_a_deletion_is_never_taken_for_an_edition(tmp_path: pathlib.Path) -> None:
    def left_off() -> None:
        raise InterruptedError

    for step in itertools.count():
        out = stand(tmp_path / str(step), ("first",))
        publish_guide(SITES["second"], out, too_late=left_off)  # whole, and not yet in place
        if forked(lambda step=step, out=out: cut(step, out, publishing("third"), kill)) == NEVER_CAME:  # type: ignore[misc]
            break
        shutil.rmtree(out, ignore_errors=True)
        recover_out(out)
        assert files(out) in ({}, *SITES.values())


def test_four_at_once_take_turns(tmp_path: pathlib.Path) -> None:
    assert set(several_at_once(tmp_path, 4)) == {""}


def test_whoever_waits_too_long_is_told(tmp_path: pathlib.Path) -> None:
    fcntl = pytest.importorskip("fcntl")
    out = stand(tmp_path, ("first",))
    with open(out.with_name(".out.publishing") / "lock", "ab") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        (finding,) = publish_guide(SITES["second"], out, sleep=lambda _seconds: None)
    assert finding.code == "out-busy"
    assert files(out) == SITES["first"]


def main() -> None:
    with tempfile.TemporaryDirectory() as work:
        for end in (kill, refuse, interrupt):
            total: Counter[str] = Counter()
            while total.total() < 1000:
                for situation in SITUATIONS:
                    with tempfile.TemporaryDirectory(dir=work) as folder:
                        total += outcomes(situation, end, pathlib.Path(folder))
            print(f"{end.__name__}: {total.total()} times; not whole: {total.total() - total['']}")
        total = several_at_once(pathlib.Path(work) / "at-once", 50)
        print(f"four at once: {total.total()} rounds; not whole: {total.total() - total['']}")


if __name__ == "__main__":
    main()

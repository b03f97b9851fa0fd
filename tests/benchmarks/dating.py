"""How long the key takes, in one run: prints ratios, tests nothing.

    python -m tests.benchmarks.dating

One pass over the table is a plain sum of weight times chance over every mark, answer and slot: 300 marks of three
forms and 500 slots. All gains together are wanted in at most 2.5 passes, in Python and in the browser's engine (run in
node) alike. Beside it: one step of the demo guide's key in passes over its own table, and ten thousand cars.
"""

from __future__ import annotations

import json
import random
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

from guide.dating.belief.evidence import Session
from guide.dating.belief.look import looks
from guide.dating.belief.prepare import prepare
from guide.dating.belief.state import believe
from guide.dating.model import Model, dump_model
from guide.words.say import load_words
from tests.dating.asking import conclude
from tests.dating.proof import demo_model
from tests.dating.sessions import sessions
from tests.dating.tiny_models import plain_mark, plain_model
from tests.pages.scripts import texts

MARKS, SLOTS, FORMS, REPEATS = 300, 500, 3, 7


def wide_model(seed: int, ramp: int) -> Model:
    """Return 300 marks over 500 slots, each of two changeovers that take up to ``ramp`` slots."""
    chance = random.Random(seed)
    marks, groups = [], []
    for at in range(MARKS):
        first, second = sorted(chance.uniform(0, SLOTS) for _ in range(2))
        widths = chance.uniform(1, ramp), chance.uniform(1, ramp)
        mixes: dict[tuple[float, ...], int] = {}
        run: list[int] = []
        for t in range(SLOTS):
            one = min(max((t - first) / widths[0] + 0.5, 0.0), 1.0)
            two = min(max((t - second) / widths[1] + 0.5, 0.0), one)
            mix = mixes.setdefault((1 - one, one - two, two), len(mixes))
            if not run or run[-1] != mix:
                run += [t, mix]
        marks.append(plain_mark(f"m{at}", FORMS, [list(mix) for mix in mixes], survives=0.9, misread=0.02))
        groups.append({"marks": [at], "runs": [run], "variants": [[0]], "of": [[0]]})
    return plain_model([1.0] * SLOTS, [SLOTS // 4, SLOTS // 2, 3 * SLOTS // 4, SLOTS], marks, groups)


def least(work: Callable[[], object]) -> float:
    """Return the least processor time of several runs, in seconds."""
    times = []
    for _ in range(REPEATS):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def passes_in_python(model: Model) -> float:
    """Return how many passes over the table all gains take in Python."""
    prepared = prepare(model)
    weights = list(prepared.weights)
    chance = random.Random(0)
    table = [[[chance.random() for _ in range(SLOTS)] for _ in range(FORMS)] for _ in range(MARKS)]

    def once() -> float:
        return sum(sum(w * p for w, p in zip(weights, row, strict=True)) for mark in table for row in mark)

    return least(lambda: looks(believe(prepared, Session()))) / least(once)


NODE = """
const fs = require("fs"), vm = require("vm");
const { scripts, model, words, marks, slots, forms } = JSON.parse(fs.readFileSync(process.argv[1], "utf8"));
for (const [name, text] of scripts) { vm.runInThisContext(text, name); }
const guide = globalThis.guide;
const prepared = guide.dating.prepare(model, words);
const { believe, looks } = guide.dating;
const table = Array.from({ length: marks * forms }, () => Float64Array.from({ length: slots }, Math.random));
const weights = Float64Array.from(prepared.weights);
let sink = 0;
const once = () => { for (const row of table) {
  let s = 0;
  for (let t = 0; t < slots; t += 1) { s += weights[t] * row[t]; }
  sink += s; } };
const gains = () => { sink += looks(believe(prepared, { answers: [], car: null, reach: [], known: {} })).length; };
const least = (work) => { let best = Infinity; for (let i = 0; i < 40; i += 1) { const start = process.hrtime.bigint();
  work(); best = Math.min(best, Number(process.hrtime.bigint() - start) / 1e6); } return best; };
console.log(JSON.stringify({ pass: least(once), gains: least(gains), sink }));
"""


def passes_in_node(model: Model, folder: Path) -> tuple[float, float]:
    """Return passes over the table, and milliseconds, that all gains take in the browser's engine."""
    file = folder / "asked.json"
    file.write_text(
        json.dumps(
            {
                "scripts": texts("dating"),
                "model": json.loads(dump_model(model)),
                "words": dict(load_words("en").templates),
                "marks": MARKS,
                "slots": SLOTS,
                "forms": FORMS,
            }
        ),
        encoding="utf-8",
    )
    done = subprocess.run(["node", "-e", NODE, "--", str(file)], capture_output=True, text=True, check=True)
    found = json.loads(done.stdout)
    return found["gains"] / found["pass"], found["gains"]


def main() -> None:
    """Print every ratio."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        for ramp in (10, 40):
            model = wide_model(1, ramp)
            print(f"300 marks, 500 slots, changeovers up to {ramp} slots long (wanted: at most 2.5 passes)")
            print(f"  all gains in Python       {passes_in_python(model):6.2f} passes over the table")
            passes, milliseconds = passes_in_node(model, Path(folder))
            print(f"  all gains in the browser  {passes:6.2f} passes over the table ({milliseconds:.1f} ms)")
    model = demo_model()
    asked = list(sessions(model, 100, seed=1))
    conclude(model, asked[0])
    start = time.process_time()
    for session in asked:
        conclude(model, session)
    each = (time.process_time() - start) / len(asked)
    print(f"the demo guide: {1000 * each:.1f} ms a car in Python, so ten thousand cars take {10_000 * each:.0f} s")


if __name__ == "__main__":
    main()

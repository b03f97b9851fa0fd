"""Looking things up beside a small search library of npm, on one built guide in one run: prints ratios, tests nothing.

    npm install --prefix FOLDER minisearch
    python -m tests.benchmarks.looking_up --reference FOLDER [--out out]

Both index the same words of the same entries; the library asks with beginnings and with likeness (a fifth of a word's
letters), as ours does. Sizes are of the index alone, as JSON, gzipped (what is shown of an entry, its title too, is in
neither); times are of a question, the best of two hundred rounds, after a first one.
"""

from __future__ import annotations

import argparse
import gzip
import json
import shutil
import subprocess
from pathlib import Path

from tests.pages.scripts import texts

QUESTIONS = {
    "a name": ["tail lamps", "gear knob", "door handles"],
    "a beginning": ["swit", "handb", "demis"],
    "another's word": ["taillights", "dome light", "shift knob"],
    "a slip of the finger": ["swithces", "steering whel", "demistr"],
    "what is not there": ["zeppelin", "barometer"],
}
_RUN = """
const fs = require("fs"), vm = require("vm");
const job = JSON.parse(fs.readFileSync(0, "utf8"));
for (const [name, text] of job.scripts) { vm.runInThisContext(text, name); }
vm.runInThisContext(fs.readFileSync(job.data, "utf8"));
const MiniSearch = require("module").createRequire(job.reference + "/x.js")("minisearch");
const data = guide.searchData;
const ours = guide.search.prepare(data);
const theirs = new MiniSearch({ fields: ["title", "words"] });
theirs.addAll(data.entries.map((entry, id) => ({ id, title: entry.title,
  words: [...ours.counts[id].keys()].join(" ") })));
const took = (ask) => {
  let best = Infinity;
  for (let round = 0; round < 200; round += 1) {
    const begun = process.hrtime.bigint();
    ask();
    if (round) { best = Math.min(best, Number(process.hrtime.bigint() - begun) / 1e6); }
  }
  return best;
};
const times = Object.fromEntries(Object.entries(job.questions).map(([kind, asked]) => [kind, [
  took(() => asked.forEach((one) => guide.search.find(ours, one))) / asked.length,
  took(() => asked.forEach((one) => theirs.search(one, { prefix: true, fuzzy: 0.2 }))) / asked.length]]));
const own = { holders: data.holders, alike: data.alike, named: data.named, shown: data.shown };
process.stdout.write(JSON.stringify({ times, ours: JSON.stringify(own), theirs: JSON.stringify(theirs) }));
"""


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--reference", required=True, type=Path)
    parser.add_argument("--out", default=Path("out"), type=Path)
    options = parser.parse_args()
    node = shutil.which("node")
    assert node is not None, "Node.js is needed"
    data, reference = (str(one.resolve()) for one in (options.out / "data" / "search.js", options.reference))
    job = {"scripts": texts("search"), "data": data, "reference": reference, "questions": QUESTIONS}
    run = subprocess.run([node, "-e", _RUN], input=json.dumps(job), capture_output=True, text=True, check=True)
    told = json.loads(run.stdout)
    sizes = [len(gzip.compress(told[side].encode("utf-8"), 9, mtime=0)) / 1000 for side in ("ours", "theirs")]
    print(f"{'':<24}{'ours':>8}{'theirs':>9}  ratio")
    print(f"{'index, kB gzipped':<24}{sizes[0]:8.1f}{sizes[1]:9.1f}  {sizes[0] / sizes[1]:.2f}")
    for kind, (ours, theirs) in told["times"].items():
        print(f"{kind + ', ms':<24}{ours:8.3f}{theirs:9.3f}  {ours / theirs:.2f}")


if __name__ == "__main__":
    main()

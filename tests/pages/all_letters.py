"""Every number of the demo as a letter: the browser's against Python's, and what both say against fits and the key.

``python -m tests.pages.all_letters`` prints the counts; ``--every 40`` takes each fortieth number only.
"""

from __future__ import annotations

import argparse
import json
import shutil
from pathlib import Path
from typing import Any

from guide.command.work import work_out
from guide.dating.belief.evidence import Session
from guide.dating.key import Key
from guide.dating.model import dump_model
from guide.dating.result_sentences import result_sentences
from guide.pages.parts.letter import letter_of
from guide.pages.parts.letter_facts import letter_facts
from guide.pages.parts.letter_lines import Line
from guide.words.say import Words, load_words
from tests.pages.scripts import evaluate

RUN = 200  # letters handed to node at a time
COMPOSED = """(() => {
  const prepared = guide.dating.prepare(given.model, given.words);
  const say = guide.words(given.words);
  return given.cars.map((car) => {
    const session = { answers: [], car, reach: given.reach, known: {} };
    const parts = guide.fitting.outcome(prepared, given.model, car, []).parts;
    const letter = guide.letter.compose(prepared, say, given.facts, session, "letter");
    const named = (part) => part.mark.name + (part.only ? " (" + part.only + ")" : "");
    return { letter, fits: parts.map((part) => named(part) + ": " + part.says + ".") };
  });
})()"""
REACH = ("outside", "glass", "door", "seat", "bonnet", "hands")
FITTED = ("sure", "likely", "open", "nobody")


def plain(line: Line, words: Words) -> dict[str, Any]:
    """Return a line as the browser has it."""
    more = [plain(one, words) for one in line.more]
    return {"says": words.tell(line.says), "by": list(line.by), "mark": line.mark, "more": more}


def main() -> None:
    """Compare the letters, and print how many there were and how many differ."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--every", type=int, default=1)
    every = parser.parse_args().every
    worked, node, words = work_out(Path("content")), shutil.which("node"), load_words("en")
    assert worked.guide is not None
    assert worked.limits is not None
    assert worked.key is not None
    assert node is not None, "Node.js runs the browser's half"
    key, facts = Key(worked.key.model), letter_facts(worked.guide, worked.limits, words)
    lines = worked.limits.lines.values()
    cars = [line.car_at(at, "L" if at % 3 == 0 else "").written for line in lines for at in range(line.cars)][::every]
    model = json.loads(dump_model(key.model))
    twins = fits = terminal = without = said = 0
    for start in range(0, len(cars), RUN):
        some = cars[start : start + RUN]
        given = {"model": model, "words": dict(words.templates), "facts": facts, "cars": some, "reach": REACH}
        for car, theirs in zip(some, evaluate(node, ("letter", "fitting"), COMPOSED, given), strict=True):
            dated = key.dated(Session((), car, REACH))
            letter = letter_of(dated, facts, "letter")
            mine: list[dict[str, Any]] = [
                {"name": one.name, "lines": [plain(line, words) for line in one.lines], "lead": one.lead}
                for one in letter.sections
            ]
            twins += theirs["letter"]["sections"] != mine
            told = "\n".join(line["says"] for one in mine if one["name"] in FITTED for line in one["lines"])
            fits += any(part.lower() not in told.lower() for part in theirs["fits"])
            what = [line["says"] for one in mine if one["name"] == "what" for line in one["lines"]]
            terminal += what[: len(result_sentences(dated))] != [words.tell(one) for one in result_sentences(dated)]
            every_line = [line for one in mine for line in one["lines"]]
            without += sum(
                not line["by"] or any(by[0] != ":" and by not in worked.guide.sources for by in line["by"])
                for line in every_line
            )
            said += len(every_line)
    print(f"letters: {len(cars)}, sentences: {said}")
    print(f"differ between Python and browser: {twins}; from fits: {fits}; from key and terminal: {terminal}")
    print(f"sentences that lead to no source and do not say whose they are: {without}")


if __name__ == "__main__":
    main()

"""What people and programs hand over besides the facts: pictures, addresses of the key, pasted lines, kept notes.

Each seed gives one of each. A picture is read or told of; an address, a line or a store of notes is read without a
throw, and what was read of it says the same when it is written and read again. The browser's half runs in Node.js, all
seeds in one process. `python -m tests.fuzz.handed_over --seeds 2000 --seed 1` tries that many and prints what failed.
"""

from __future__ import annotations

import argparse
import io
import json
import pathlib
import random
import shutil
import tempfile
from collections.abc import Iterable
from functools import cache
from typing import Any

from PIL import Image

from guide.press.cache import Cache
from guide.press.drawings import read_drawing
from guide.press.photographs import make_photograph
from tests.fuzz.spoil import ODD, SIGNS, WORDS
from tests.pages.scripts import evaluate

_SVG = (
    b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><g class="part"><path d="M0 0H8"/>'
    b'<circle cx="1" cy="2" r="3"/></g></svg>'
)
_GROWN = (b"<g>" * 600, b"</g>", b"<script>a()</script>", b"<!DOCTYPE x [<!ENTITY a 'b'>]>", b"&a;", b"\0", b"\xff\xfe")
_MODEL = {
    "marks": [
        {"id": "body", "kind": "body", "forms": [{"id": "coupe"}, {"id": "open"}]},
        {"id": "lamp", "forms": [{"id": "round"}, {"id": "square"}, {"id": "oblong"}]},
        {"id": "door-handle", "forms": [{"id": "knob"}, {"id": "lever"}]},
    ],
    "reaches": {"outside": 1, "glass": 1, "door": 1},
}
_FORMERLY = {"titles": ["n0"], "marks": {"roof-lamp": "lamp"}, "forms": {"lamp": {"old": "oblong"}}}
_PIECES = (
    *(
        "lamp=round",
        "lamp=old",
        "roof-lamp=square+round",
        "door-handle=cannot-tell",
        "body=open",
        "lamp=",
        "=",
        "&",
        "#",
    ),
    *(
        "--car=S590",
        '--car "S 590"',
        "--reach=glass,door",
        "--known=registered=1961-06",
        "--known part:lamp=1961",
        "--on",
    ),
    *("--at=result", "--look=lamp", "--several", "--edition=x", "constructor=round", "__proto__=x", "lamp=constructor"),
    *(
        "%",
        "%E0%A4%A",
        "%2B",
        "=3D",
        "=\r\n",
        "> ",
        "\u2014car S590",
        "https://a.example/key.html#lamp=round",
        "\ud800",
    ),
)
_CHECK = """(function () {
  const known = guide.answers.vocabulary(given.model, given.formerly), found = [];
  const plain = (state) => JSON.stringify([state.answers, state.reach, state.known]);
  const held = (notes) => JSON.stringify(notes.map((one) => [one.id, one.answers, one.gone, one.car, one.known]));
  const store = (text) => ({ getItem: (name) => (name === "n" ? text : null), setItem(_, to) { this.kept = to; } });
  const open = (one) => guide.keeping.open("n", () => 1e12, known, [one, null]);
  const again = {
    address(one) {
      const state = guide.path.readHash(one.address, known);
      return plain(guide.path.readHash(guide.path.hashOf(state), known)) === plain(state);
    },
    line(one) {
      const line = guide.path.readLine(one.line, known);
      const back = guide.path.readLine(guide.path.lineOf(line, "e", true), known);
      return JSON.stringify(back.answers) === JSON.stringify(line.answers);
    },
    notes(one) {
      const lasting = store(one.notes), kept = open(lasting), notes = kept.notes();
      guide.keeping.csv(notes, given.model.marks);
      guide.keeping.json(notes, "e");
      notes.forEach((note) => kept.put(note.id, note));
      return !notes.length || held(open(store(lasting.kept)).notes()) === held(notes);
    },
  };
  for (const one of given.cases) {
    for (const name of Object.keys(again)) {
      try { if (!again[name](one)) { found.push([one.seed, name + ": not itself again"]); } }
      catch (error) { found.push([one.seed, name + ": thrown: " + error.message]); }
    }
  }
  return found;
}())"""


@cache
def _photographs() -> tuple[tuple[str, bytes], ...]:
    found = []
    for ending, kind in ((".jpg", "JPEG"), (".png", "PNG"), (".gif", "GIF"), (".webp", "WEBP"), (".tif", "TIFF")):
        stream = io.BytesIO()
        Image.effect_noise((24, 16), 50).convert("RGB").save(stream, kind)
        found.append((ending, stream.getvalue()))
    return tuple(found)


def _spoilt(data: bytes, dice: random.Random) -> bytes:
    made = bytearray(data)
    for _ in range(dice.choice((1, 1, 2, 5, 20))):
        at = dice.randrange(len(made) or 1)
        way = dice.randrange(5)
        if way == 0 and made:
            made[at] = dice.randrange(256)
        elif way == 1:
            del made[at : at + dice.randrange(1, 9)]
        elif way == 2:
            del made[at:]
        elif way == 3:
            made[at:at] = dice.choice(_GROWN) if b"<svg" in data else dice.randbytes(dice.randrange(1, 9))
        else:
            made[at:at] = made[at : at + 40]
    return bytes(made)


def picture_trouble(seed: int, folder: pathlib.Path) -> str:
    """Return what reading a spoilt picture did that it must never do, or nothing."""
    dice = random.Random(seed)
    ending, data = dice.choice((*_photographs(), *((".svg", _SVG),) * 3))
    path = folder / f"spoilt{dice.choice((ending, ending, '.jpg'))}"
    path.write_bytes(_spoilt(data, dice))
    try:
        drawn = path.suffix == ".svg"
        made, found = read_drawing(path, "p") if drawn else make_photograph(path, "p", Cache(None))
    except Exception as error:
        return f"thrown: {type(error).__name__}: {str(error)[:100]}"
    return "" if made is not None or found else "passed over without a word"


def _text(dice: random.Random) -> str:
    pieces = [dice.choice((*_PIECES, *WORDS, *ODD[:20], *SIGNS)) for _ in range(dice.randrange(1, 9))]
    return dice.choice(("&", " ", "\n", "")).join(pieces)


def _notes(dice: random.Random) -> str:
    """Return what a browser may have in its store: notes of ours, of an older program, of another, or cut short."""

    def anything() -> Any:
        return dice.choice((None, 5, "x", "S590", [], {}, ["x"], {"a": 1}, True, "1961-06", "2026-06-14"))

    def answer() -> Any:
        mark, form = (
            dice.choice(("lamp", "roof-lamp", "gone", "body", "constructor")),
            dice.choice(("round", "old", "x")),
        )
        kind = dice.choice(("form", "several", "cannot-tell", "x"))
        return (
            {"mark": mark, "forms": [form, "square"][: dice.randrange(3)], "kind": kind}
            if dice.random() < 0.8
            else anything()
        )

    def record(at: int) -> Any:
        note: dict[str, Any] = {
            "answers": [answer() for _ in range(dice.randrange(4))],
            "made": "2026-06-14T10:00:00Z",
            "seen": "2026-06-14",
        }
        note |= {
            "car": "S590",
            "remarks": "",
            "words": "",
            "edition": "e",
            "reach": ["glass"],
            "known": {"registered": "1961"},
        }
        for name in dice.sample(sorted(note), dice.choice((0, 0, 1, 3))):
            note[name] = anything()
        return {"id": str(at), "changed": at, "gone": False, "note": note} if dice.random() < 0.9 else anything()

    text = json.dumps([record(at) for at in range(dice.randrange(4))])
    return text if dice.random() < 0.9 else text[: dice.randrange(len(text) + 1)]


def browser_troubles(seeds: Iterable[int], node: str) -> list[tuple[int, str]]:
    """Return what reading spoilt addresses, lines and notes did that it must never do, each with its seed."""
    cases = []
    for seed in seeds:
        dice = random.Random(seed)
        cases.append({"seed": seed, "address": "#" + _text(dice), "line": _text(dice), "notes": _notes(dice)})
    given = {"model": _MODEL, "formerly": _FORMERLY, "cases": cases}
    return [(seed, said) for seed, said in evaluate(node, "keeping", _CHECK, given)]


def troubles(seeds: range, node: str) -> list[tuple[int, str]]:
    """Return all that failed, each with its seed."""
    with tempfile.TemporaryDirectory() as folder:
        found = [(seed, f"picture {said}") for seed in seeds if (said := picture_trouble(seed, pathlib.Path(folder)))]
    return found + browser_troubles(seeds, node)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seeds", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=0, help="the first seed")
    options = parser.parse_args()
    node = shutil.which("node") or shutil.which("nodejs") or "node"
    found = troubles(range(options.seed, options.seed + options.seeds), node)
    for seed, said in found:
        print(f"{seed}: {said}")
    print(f"{options.seeds} pictures, addresses, lines and stores of notes; troubles: {len(found)}")


if __name__ == "__main__":
    main()

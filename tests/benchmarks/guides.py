"""Invented guides of any size for benchmarks: a works of two series; marks, texts, drawings and cars in proportion.

`write_guide` makes a content folder. What is invented is the truth first (when each mark changed, on which cars) and
then the papers, which speak of it by number or by month, and the cars, which were looked at sixty years later. Whatever
the size the works is the same: nine years and 9,000 cars, so that only the guide grows. One seed gives one guide.
"""

from __future__ import annotations

import csv
import io
import random
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

__all__ = ["SIZES", "Size", "save_change", "write_guide"]


@dataclass(frozen=True, slots=True)
class Size:
    """How large a guide is: parts (marks), forms, areas of the car, periods, interiors."""

    marks: int
    forms: int
    areas: int
    periods: int
    interiors: int

    @property
    def cars(self) -> int:
        """How many cars were seen: 53 for the 85 forms of the demo guide."""
        return self.forms * 53 // 85


SIZES: Mapping[str, Size] = {
    "XS": Size(12, 31, 3, 4, 4),
    "S": Size(33, 85, 6, 6, 8),
    "M": Size(100, 300, 9, 7, 10),
    "L": Size(300, 1000, 16, 8, 12),
}
_YEARS = range(1961, 1970)
_MONTHS = [f"{year}-{month:02}" for year in _YEARS for month in range(1, 13)]
_COUPES, _OPENS = 60, 30  # built in a month
_OPEN_SINCE = 21  # months from the start
_FIRST_COUPE, _FIRST_OPEN = 10001, 50001


def _each(words: str) -> list[str]:
    return words.split()


_NOUNS = _each(
    "lamp lever handle switch mirror badge knob vent dial grip tray latch hinge strip bezel clip strap plate hose "
    "pump seat belt visor carpet panel pocket winder pedal rubber lock catch stay bracket horn stalk ring cover socket"
)
_PLACES = _each("front rear upper lower inner outer left right centre side roof floor dash door boot nose tail sill")
_LOOKS = _each("round square narrow wide ribbed plain bright black ivory grey chromed pressed cast moulded sewn woven")
_PLAIN = _each(
    "works stores paper ledger letter bulletin owner dealer trimmer fitter spring summer autumn winter edge rim screw "
    "stud thread paint vinyl leather cloth foam rust water light dust crack fade split bend wear hand finger torch "
    "corner surface copy original later earlier single double small large soft hard thin thick early late common rare "
    "glass"
)
_REACH = ("outside", "glass", "door", "seat", "bonnet", "hands")
_SURVIVES = {"nearly all": 0.95, "most": 0.8, "half": 0.5, "few": 0.15}  # and how many parts are still the car's own
_SPARED = 3  # cars that come to be seen have lost so much less of what a guide reckons lost


@dataclass(slots=True)
class _Mark:
    """The truth of a mark: its forms in their order, and the month (of the build) in which each but the first began."""

    id: str
    name: str
    forms: list[str]
    began: list[int]
    split: str = ""  # the split by which the months differ, and by how many for its second value
    later: int = 0
    copies: list[str] = field(default_factory=list)  # forms that the works never fitted
    survives: str = "most"

    def built_with(self, month: int, car: Mapping[str, str]) -> str:
        """Return the form that a car of a month left the works with."""
        shift = self.later if self.split and car[self.split] in ("left", "continent") else 0
        return self.forms[sum(month >= began + shift for began in self.began)]


class _Writer:
    def __init__(self, size: Size, seed: int) -> None:
        self.size, self.chance = size, random.Random(seed)
        self.sources = [f"paper-{at + 1}" for at in range(max(4, size.forms // 2))]
        self.marks = self._invent()

    def _invent(self) -> list[_Mark]:
        chance, size, marks = self.chance, self.size, []
        names = [f"{place} {noun}" for noun in _NOUNS for place in _PLACES]
        chance.shuffle(names)
        counts = [size.forms // size.marks] * size.marks
        for at in range(size.forms - sum(counts)):
            counts[at % size.marks] += 1
        chance.shuffle(counts)
        for at, count in enumerate(counts):
            copies = 1 if count > 2 and chance.random() < 0.3 else 0
            looks = chance.sample(_LOOKS, count)
            months = sorted(chance.sample(range(6, len(_MONTHS) - 12, 6), count - copies - 1))
            mark = _Mark(names[at].replace(" ", "-"), names[at].capitalize(), looks[: count - copies], months)
            mark.copies = looks[count - copies :]
            if at % 6 == 1:
                mark.split, mark.later = ("hand" if at % 12 == 1 else "market"), 3
            marks.append(mark)
        for first in range(2, len(marks) - 2, 18):  # some changed at one moment
            for mark in marks[first : first + 3]:
                mark.split, mark.later = "", 0
                mark.began[:1] = [24 + first % 60]
                mark.began[1:] = [24 + first % 60 + 12 * turn for turn in range(1, len(mark.began))]
        return marks

    def text(self, sentences: int) -> str:
        """Return some plain sentences, with what the editor's Markdown has: stress, links, now and then a list."""
        said = []
        for _ in range(sentences):
            words = [self.chance.choice(_PLAIN) for _ in range(self.chance.randint(8, 16))]
            if self.chance.random() < 0.15:
                words[3] = f"*{words[3]}*"
            if self.chance.random() < 0.12:
                there = self.chance.choice(self.marks)
                words[5] = f"[{there.name.lower()}](mark:{there.id})"
            said.append(" ".join(words).capitalize() + ".")
        whole = " ".join(said[:4])
        if sentences > 4:
            whole += "\n\n" + " ".join(said[4:])
        if sentences > 7:
            whole += "\n\n" + "\n".join(
                f"- {self.chance.choice(_PLAIN)} {self.chance.choice(_NOUNS)}" for _ in range(3)
            )
        return whole + "\n"

    def drawing(self) -> str:
        """Return a drawing of the weight that the demo's have: eleven shapes."""
        lines = ['<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 240 160">']
        for at in range(11):
            kind = ("context", "context face", "part", "part face", "detail", "detail dark", "glint")[at % 7]
            x, y = self.chance.randint(10, 180), self.chance.randint(10, 100)
            if at % 3 == 0:
                lines.append(f'<circle class="{kind}" cx="{x}" cy="{y}" r="{self.chance.randint(3, 40)}"/>')
            else:
                run = "".join(f"L{x + self.chance.randint(-9, 50)} {y + self.chance.randint(-9, 50)}" for _ in range(6))
                lines.append(f'<path class="{kind}" d="M{x} {y}{run}Z"/>')
        return "\n".join([*lines, "</svg>", ""])

    def source(self) -> str:
        """Return the id of one of the papers."""
        return self.chance.choice(self.sources)

    def said_of(self, mark: _Mark, at: int) -> list[dict[str, Any]]:
        """Return what the papers say of the changeover that brought a mark's form."""
        said: list[dict[str, Any]] = []
        values = {"hand": ("right", "left"), "market": ("home", "continent"), "": ("",)}[mark.split]
        for turn, value in enumerate(values):
            month, of = mark.began[at - 1] + turn * mark.later, {"for": {mark.split: value}} if value else {}
            if (at + turn) % 2:
                said.append({"first": _MONTHS[month], **of, "source": self.source(), "page": 3})
                continue
            coupe = _FIRST_COUPE + month * _COUPES + self.chance.randint(1, 20)
            said.append({"first": f"C{coupe}", **of, "source": self.source(), "page": 5})
            opened = month - _OPEN_SINCE
            number = f"D{_FIRST_OPEN + opened * _OPENS + self.chance.randint(1, 10)}"
            said.append({"first": number if opened > 0 else "start of open", **of, "source": self.source()})
        return said

    def form_of(self, mark: _Mark, look: str) -> dict[str, Any]:
        """Return one form as an editor types it."""
        part = mark.name.lower()
        made: dict[str, Any] = {
            "name": f"{look.capitalize()} {part}",
            "answer": f"A {look} {part}, {self.chance.choice(_PLAIN)}",
            "describes": f"The {part} seen from the side: {look}, with a {self.chance.choice(_PLAIN)} edge.",
        }
        if look in mark.copies:
            made["fitted as"] = {"reproduction": {"from": "1986", "in place of": list(mark.forms)}}
        else:
            at = mark.forms.index(look)
            first = {"first": "start", "source": self.source(), "page": 9}
            made["stated"] = self.said_of(mark, at) if at else [first]
            end = mark.began[at] if at < len(mark.began) else len(_MONTHS) - 1
            if at == len(mark.forms) - 1 and not mark.split and self.chance.random() < 0.5:
                seen = _FIRST_COUPE + (end - 2) * _COUPES + self.chance.randint(1, 50)
                made["stated"].append({"seen": f"C{seen}", "source": self.source(), "page": "sheet 88"})
        if self.chance.random() < 0.6:
            made["counts"] = [{"built": self.chance.randint(200, 6000), "sure": "fair", "source": self.source()}]
            made["part numbers"] = [f"T{self.chance.randint(1000, 9999)}"]
        if self.chance.random() < 0.5:
            made["about"] = self.text(3)
        return made

    def mark_file(self, mark: _Mark) -> dict[str, Any]:
        """Return a mark's file."""
        part, chance = mark.name.lower(), self.chance
        made = {
            "name": mark.name,
            "also": [f"{chance.choice(_LOOKS)} {part}", f"us: {chance.choice(_PLAIN)} {part}"],
            "question": f"What does the {part} look like?",
            "look": f"Look at the {chance.choice(_PLAIN)} of it first, then at the {chance.choice(_PLAIN)}.",
            "reach": chance.choice(_REACH),
            "in photographs": chance.choice(("yes", "no")),
            "survives": chance.choice(tuple(_SURVIVES)),
            "order": mark.forms,
            "forms": {look: self.form_of(mark, look) for look in (*mark.forms, *mark.copies)},
            "about": self.text(8),
            "taken for": self.text(3),
            "wear": self.text(3),
            "to be had": self.text(2),
        }
        mark.survives = str(made["survives"])
        return made

    def cars(self) -> str:
        """Return the cars seen as a table: most marks as they were built, some replaced, misread or not looked at."""
        stream = io.StringIO()
        table = csv.writer(stream, lineterminator="\n")
        table.writerow(["car", "untouched", "hand", "market", "seen on", *(mark.id for mark in self.marks)])
        seen = set[int]()
        for _ in range(self.size.cars):
            opened = self.chance.random() < 0.25
            month = self.chance.randrange(_OPEN_SINCE if opened else 0, len(_MONTHS))
            at = (month - _OPEN_SINCE) * _OPENS if opened else month * _COUPES
            number = (_FIRST_OPEN if opened else _FIRST_COUPE) + at + self.chance.randrange(_OPENS)
            if number in seen:
                continue
            seen.add(number)
            market = self.chance.choice(("home", "home", "continent"))
            car = {"hand": "right" if market == "home" else "left", "market": market}
            row = [f"{'D' if opened else 'C'}{number}{'L' if market == 'continent' else ''}", "no", *car.values()]
            row.append(f"20{self.chance.randint(10, 25)}-06-{self.chance.randint(10, 28)}")
            for mark in self.marks:
                if self.chance.random() < 0.1:
                    row.append("")
                    continue
                is_lost = self.chance.random() < (1 - _SURVIVES[mark.survives]) / _SPARED
                is_misread = self.chance.random() < 0.01
                other = self.chance.choice(mark.forms + mark.copies)
                row.append(other if is_lost or is_misread else mark.built_with(month, car))
            table.writerow(row)
        return stream.getvalue()

    def whole(self) -> dict[str, Any]:
        """Return guide.yml."""
        together = []
        for at, first in enumerate(range(2, len(self.marks) - 2, 18)):
            forms = [f"{mark.id}/{mark.forms[1]}" for mark in self.marks[first : first + 3] if len(mark.forms) > 1]
            together.append({"name": f"the changes of bulletin {at + 1}", "forms": forms, "source": self.source()})
        sets = [
            {
                "id": f"job-{at + 1}",
                "name": f"a job of the trimmers, the {at + 1}th",
                "marks": [mark.id for mark in self.marks[first : first + 3]],
                "share": "1 in 6",
            }
            for at, first in enumerate(range(7, len(self.marks) - 3, 30))
        ]
        return {
            "format": "1",
            "title": "Invented Grebe",
            "car": "Invented Grebe",
            "subtitle": "A guide made for a benchmark.",
            "edition": "first",
            "language": "en-GB",
            "licence": "CC-BY-SA-4.0",
            "contact": "Nobody",
            "production": {"first": "1961-01-02", "last": "1969-12-31", "source": "paper-1"},
            "fine enough": "3 months",
            "closed": [{"from": f"{year}-08-01", "to": f"{year}-08-15", "why": "works holiday"} for year in _YEARS],
            "splits": {
                "hand": {"name": "Steering", "values": {"right": "right-hand drive", "left": "left-hand drive"}},
                "market": {
                    "name": "Market",
                    "values": {
                        "home": {"name": "for home", "hand": "right"},
                        "continent": {"name": "for the continent", "hand": "left"},
                    },
                },
            },
            "shares": [
                {"market": "home", "share": "rest"},
                {"market": "continent", "share": "3 in 10", "source": "paper-1"},
            ],
            "changed together": together,
            "renewed together": sets,
        }

    def numbers(self, first: int, letter: str, since: int, each: int, name: str) -> dict[str, Any]:
        """Return a number series with a line of the calendar for every month."""
        built = {
            f"{_MONTHS[month]}": f"{letter}{first + (month - since + 1) * each - 1}"
            for month in range(since, len(_MONTHS))
        }
        return {
            "name": name,
            "body": name.lower(),
            "written": f"{letter}#####",
            "asked as": f"The roof of a {name.lower()}",
            "picture": f"body-{letter.lower()}.svg",
            "suffixes": {"L": {"hand": "left"}},
            "runs": [{"cars": f"{letter}{first}..{list(built.values())[-1]}", "source": "paper-1"}],
            "built by": built,
            "calendar source": "paper-1",
            "out of order": "20",
        }

    def files(self) -> dict[str, str]:
        """Return every file of the guide: name to text."""
        size, chance = self.size, self.chance
        long, share = len(_MONTHS) // size.periods, -(-len(self.marks) // size.areas)
        data: dict[str, Any] = {"guide.yml": self.whole()}
        data["numbers/coupe.yml"] = self.numbers(_FIRST_COUPE, "C", 0, _COUPES, "Coupé")
        data["numbers/open.yml"] = self.numbers(_FIRST_OPEN, "D", _OPEN_SINCE, _OPENS, "Open car")
        kinds, trust = ("bulletin", "parts list", "letter", "register"), ("high", "good", "fair", "poor")
        data["sources.yml"] = {
            name: {
                "name": f"Paper {at + 1}, {chance.choice(_PLAIN)}",
                "kind": chance.choice(kinds),
                "trust": trust[at % 4],
                "about": self.text(2),
            }
            for at, name in enumerate(self.sources)
        }
        data["periods.yml"] = {
            f"period-{at + 1}": {
                "name": f"Period {at + 1}",
                "from": "1961-01-02" if at == 0 else f"{_MONTHS[at * long]}-01",
                "to": "1969-12-31" if at == size.periods - 1 else _last_day(_MONTHS[(at + 1) * long - 1]),
                "summary": self.text(1).strip(),
                "about": self.text(6),
            }
            for at in range(size.periods)
        }
        data["interiors.yml"] = {
            f"trim-{at + 1}": {
                "name": f"{look.capitalize()} trim",
                "colour": look,
                "material": ("vinyl", "leather", "cloth")[at % 3],
                "share": "rest" if at == 0 else f"1 in {2 * size.interiors}",
                "asked as": f"Trim that is {look}",
                "picture": f"trim-{at + 1}.svg",
                "built": [{"from": "start", "to": "end", "source": "paper-1"}],
                "about": self.text(4),
            }
            for at, look in enumerate(chance.sample(_LOOKS, size.interiors))
        }
        data["areas.yml"] = {
            f"area-{at + 1}": {
                "name": f"Area {at + 1}",
                "marks": [mark.id for mark in self.marks[at * share : (at + 1) * share]],
                "about": self.text(2),
            }
            for at in range(size.areas)
        }
        data["words.yml"] = {
            f"word-{at + 1}": {
                "word": f"{chance.choice(_LOOKS).capitalize()} {chance.choice(_PLAIN)} {at + 1}",
                "means": self.text(1).strip(),
                "german": [f"Wort {at + 1}"],
                "marks": [chance.choice(self.marks).id],
            }
            for at in range(2 * size.marks)
        }
        for at in range(size.marks * 10 // 33):
            data[f"care/note-{at + 1}.yml"] = {
                "title": f"The {chance.choice(_PLAIN)} of the {chance.choice(_NOUNS)} {at + 1}",
                "summary": self.text(1).strip(),
                "marks": [mark.id for mark in chance.sample(self.marks, 2)],
                "cause": self.text(3),
                "prevention": self.text(3),
                "repair": self.text(4),
                "cautions": self.text(2),
            }
        pictures = ["body-c", "body-d", *(f"trim-{at + 1}" for at in range(size.interiors))]
        for mark in self.marks:
            data[f"marks/{mark.id}.yml"] = self.mark_file(mark)
            pictures += [f"{mark.id}-{look}" for look in (*mark.forms, *mark.copies)]
        files = {name: _typed(value) for name, value in data.items()}
        files |= {f"pictures/{name}.svg": self.drawing() for name in pictures}
        return {**files, "about.md": self.text(8), "cars-seen/rallies.csv": self.cars()}


class _AsTyped(yaml.SafeDumper):
    """Writes texts of several lines as an editor does, in a block."""


def _text_of(dumper: yaml.SafeDumper, text: str) -> yaml.Node:
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style="|" if "\n" in text else None)


_AsTyped.add_representer(str, _text_of)


def _typed(value: object) -> str:
    return yaml.dump(value, Dumper=_AsTyped, sort_keys=False, allow_unicode=True, width=110)


def _last_day(month: str) -> str:
    days = {"02": 28, "04": 30, "06": 30, "09": 30, "11": 30}.get(month[5:], 31)
    return f"{month}-{29 if month in ('1964-02', '1968-02') else days}"


def write_guide(folder: Path, size: Size, seed: int = 1) -> None:
    """Write a content folder of a size; the same seed gives the same guide."""
    for name, text in _Writer(size, seed).files().items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")


def save_change(folder: Path, what: str) -> Path:
    """Save a change in a guide, as an editor would: of a "text", or of a "date" that a paper gives; return the file.

    Raises ValueError where there is none to change.
    """
    for path in sorted((folder / "marks").glob("*.yml")):
        text = path.read_text(encoding="utf-8")
        if what == "text":
            changed = text.replace("\nabout: |\n  ", "\nabout: |\n  Indeed. ", 1)
        else:
            changed = re.sub(
                r"first: (196\d)-0([1-8])\n", lambda one: f"first: {one[1]}-0{int(one[2]) + 1}\n", text, count=1
            )
        if changed != text:
            path.write_text(changed, encoding="utf-8", newline="\n")
            return path
    raise ValueError(f"no {what} to change in {folder}")

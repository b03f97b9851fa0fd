"""The reader's desk: what has been found wrong so far, and which ids are known, while a guide is being read.

It is filled in the order of reading (splits, series, sources, periods...) and thrown away afterwards. A
set of ids that is None could not be read: nothing is then said of references to it, because one broken
file must not call every line of the others dangling.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from guide.facts.text.decoding import decode
from guide.facts.text.meant import id_meant, nearest
from guide.facts.text.problem import Problem, write
from guide.facts.text.source import Keyed, Node, in_language, is_blank, items_of, shape_of
from guide.facts.values import RESERVED_IDS, CarNumber, Text
from guide.facts.when.numbers import number_table
from guide.finding import Finding, Place, Severity
from guide.sentence import Sentence, Value, listed, sentence

if TYPE_CHECKING:  # records are read with the desk, so they come after it
    from guide.facts.types import Series, Split

__all__ = ["Desk", "id_problem"]


class Desk:
    """Findings and known ids of one run of reading."""

    def __init__(self, keys: Collection[str] = (), today: date | None = None) -> None:
        self.known_keys = keys  # that may stand anywhere in the facts
        self.today = today  # after which nothing can have been written or seen; None where nobody asks
        self.lines: dict[str, tuple[str, ...]] = {}
        self.overrides: dict[str, float] = {}
        self.language = "en-GB"  # in which the guide is read
        self.languages: tuple[str, ...] = ()  # in which its texts are given, the first its own; none: in one only
        self.sites: tuple[tuple[str, str], ...] = ()  # the language and the address of the site in each of them
        self.splits: Mapping[str, Split] | None = {}
        self.ids: dict[str, tuple[str, ...] | None] = {}  # of sources, periods, interiors, areas; None: unread
        self.forms: dict[str, Mapping[str, int] | None] = {}  # mark id: form id to number of spells
        self.marks_complete = True  # False: some file in marks/ could not be read
        self.series_complete = True
        self.series: dict[str, Series] = {}  # those read so far
        self.number_table: dict[str, Any] = {"series": []}  # what numbers are read with; runs without an end go on
        self.model_years: tuple[str, ...] = ()  # those that some table names
        self.built_numbers: dict[str, Any] = {
            "series": []
        }  # of those really built: runs without an end as far as known
        self.withdrawn: Mapping[str, Text] = {}  # numbers of cars that are told nowhere, by what they are known by
        self._met: set[str] = set()  # those of them that some line bears
        self.cars_named: list[CarNumber] = []  # as built: as far as they go, a run without an end is known
        self.years_named: dict[str, None] = {}  # by tables of model years, be the rest of the row readable or not
        self._findings: dict[tuple[Any, ...], Finding] = {}
        self._sets_aside = False
        self.lost_statements = False  # a line of statements.csv could not be read
        self.offered: set[str] = set()  # ids offered for those that lead nowhere: what is said of them besides follows
        self._misnamed: set[str] = set()  # ids as typed that cannot be ids: what names them follows from that
        self._settled: set[str] = set()  # the same ids as they are read on
        # Every id that was looked for: as what (the last part of the sentence that it is unknown), where, and in what
        # file such a thing stands.
        self.references: list[tuple[str, Place, str, str]] = []
        self.misplaced: dict[str, tuple[Place, Sentence]] = {}  # by id: files not read that may be what is meant
        self._former: dict[str, str] = {}  # ids of old, each with that of today
        self._called: dict[str, dict[str, None]] = {}  # names as readers see them, each with the ids that bear it

    def be_of(self, year: int) -> None:
        """Take what is read for written in a year, where that ends after today."""
        self.today = self.today and max(self.today, date(year, 12, 31))

    def add_series(self, series: Series) -> None:
        """Make a series known; a later call with the same id replaces it."""
        self.series[series.id] = series
        self.number_table = number_table(self.series, endless=True)

    def is_withdrawn(self, known: Collection[str]) -> bool:
        """Tell whether one of the things that a car is known by is withdrawn, and note that a line bears it."""
        met = self.withdrawn.keys() & set(known)
        self._met |= met
        return bool(met)

    @property
    def withdrawn_unmet(self) -> tuple[Text, ...]:
        """Numbers withdrawn that no line bears, as they were typed."""
        return tuple(typed for known, typed in self.withdrawn.items() if known not in self._met)

    @property
    def is_whole(self) -> bool:
        """Whether all that a statement leans on could be read; where not, one may have been left out without a word."""
        known = (self.splits, self.ids.get("periods", ()), *self.forms.values())
        return self.series_complete and self.marks_complete and not self.lost_statements and None not in known

    @property
    def when_names(self) -> tuple[str, ...]:
        """The ids that ``start of`` and ``end of`` may name."""
        return (*(self.ids.get("periods") or ()), *self.series)

    # Findings

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Everything found wrong, in the order of every list of findings."""
        found = self._findings.values()
        missed = {one.place for one in found if one.code == "file-misplaced"}
        told = (one for one in found if one.place not in missed or one.code not in ("file-not-read", "double-ending"))
        return tuple(sorted(told, key=lambda finding: finding.sort_key))

    @property
    def count(self) -> int:
        """How many findings there are so far."""
        return len(self._findings)

    def text_of(self, data: bytes, file: str, *, of_table: bool = False) -> str:
        """Return a file's text as `decode` has it, its lines kept to be printed under findings."""
        text, found = decode(data, file, of_table=of_table)
        self.lines[file] = tuple(text.split("\n"))
        self.add(found)
        return text

    def add(self, findings: Iterable[Finding]) -> None:
        """Add findings; the same one is kept once, however often a repeated part is read."""
        for found in map(self._as_weighed, findings):
            lines = self.lines.get(found.place.file, ())
            excerpt = lines[found.place.line - 1].strip() if 0 < found.place.line <= len(lines) else ""
            self._findings.setdefault((found.code, found.place, found.message), replace(found, excerpt=excerpt))

    @contextmanager
    def setting_aside(self) -> Iterator[None]:
        """While this lasts, what would be an error is a warning of something set aside: a line that one of many people
        noted of a car stops no guide."""
        self._sets_aside = True
        try:
            yield
        finally:
            self._sets_aside = False

    def _as_weighed(self, found: Finding) -> Finding:
        if not self._sets_aside or found.severity is not Severity.ERROR:
            return found
        return replace(found, code="set-aside", message=sentence("facts.set-aside", why=found.message))

    def find(
        self,
        name: str,
        place: Place,
        /,
        related: Iterable[tuple[Place, Value]] = (),
        put_right: Sentence | None = None,
        **values: Value,
    ) -> None:
        """Add the finding whose sentences are ``name`` and ``name.put-right``, as `Problem.of` has it."""
        self.add([Problem.of(name, put_right=put_right, **values).at(place, related)])

    def refuse(self, name: str, node: Node, /, **values: Any) -> None:
        """Add the finding of what stands at a node, which it says as ``found``; else as `find` has it."""
        self.find(name, node.place, found=shape_of(node), **values)

    def pairs_of(self, node: Node | None, name: str, /, **values: Value) -> tuple[tuple[Text, Node], ...]:
        """Return the pairs of a mapping; none, with the finding ``name``, where something else was typed."""
        if isinstance(node, Keyed):
            return node.pairs
        if node is not None and not is_blank(node):
            self.refuse(name, node, **values)
        return ()

    def problem(self, problem: Problem, place: Place) -> None:
        """Add a finding made of a problem."""
        self.add([problem.at(place)])

    @property
    def typed_in(self) -> str:
        """The language in which its facts are typed where nothing else is said: the guide's first."""
        return self.languages[0] if self.languages else self.language

    def in_language(self, node: Node) -> Node:
        """Return what a file holds in the language in which the guide is read, noting what is not given in it."""
        lacking = list[Keyed]()
        read = in_language(node, self.language, self.languages, lacking) if self.languages else node
        for one in lacking:
            self.find("facts.not-in-language", one.place, language=self.language)
        return read

    def say_empty(self, file: str) -> None:
        """Add the finding for a file that holds nothing: a save that went wrong, as often as not."""
        self.find("facts.no-guide.empty" if file == "guide.yml" else "facts.empty-file", Place(file), file=file)

    # References

    def refer(self, text: Text, known: Collection[str] | None, name: str, where: Value, of: Value = "") -> bool:
        """Tell whether an id is known, or cannot be told; else add the finding ``name`` with the nearest known one.

        ``where`` is the file or folder that names what is known, ``of`` the id that it belongs to.
        """
        whose = where if isinstance(where, str) else text.place.file
        self.references.append((name.split(".")[-1], text.place, str(text), whose))
        if known is None or text in known:
            return True
        if text in self._misnamed:
            return False
        if text in self.misplaced:
            place, put_right = self.misplaced[text]
            self.find("facts.file-misplaced", place, put_right=put_right, id=str(text))
            return False
        elsewhere = sentence("facts.use-an-id", where=where)
        few = sentence("facts.use-one-of", known=listed(known)) if 0 < len(known) <= 8 else None
        near = self._meant_id(text, known)
        if near in self._settled:
            return False
        self.offered |= {one for one in (near, self._new_id(text)) if one}
        several = [one for one in re.split(r"(?:[,;\s>→]|-+>)+", text) if one]
        listed_so = name != "facts.unknown-source" and len(several) > 1 and set(several) <= set(known)
        whole = write(f"[{', '.join(several)}]") if listed_so else None
        put_right = whole or self.meant(text, known) or few or elsewhere
        self.refuse(name, text, put_right=put_right, where=where, of=of)
        return False

    def refer_to(self, kind: str, text: str, place: Place, of: str = "") -> None:
        """Note that an id of a kind is named, and found, where no `refer` looks for it; ``of`` as its `where`."""
        said, whose = sys.intern(str(text)), sys.intern(of or place.file)  # once each: cars name them often
        self.references.append((sys.intern(f"unknown-{kind}"), place, said, whose))

    def meant(self, text: Text, known: Collection[str]) -> Sentence | None:
        """Return what to write for an unknown id: what it is called now, else the nearest; None for neither."""
        new = self._new_id(text)
        renamed = sentence("facts.write-new", new=new, old=str(text)) if new in known else None
        return renamed or write(self._meant_id(text, known))

    def _meant_id(self, text: str, known: Collection[str]) -> str | None:
        """Return the id of what alone is called so, else the nearest."""
        called = [one for one in self._called.get(" ".join(text.casefold().split()), ()) if one in known]
        return called[0] if len(called) == 1 else nearest(text, known)

    def _new_id(self, text: str) -> str:
        """Return what an id of old, or an issue of a paper that was called so, is called now; nothing for any other."""
        paper, blank, issue = text.partition(" ")
        new = self._former.get(paper, "")
        return self._former.get(text, f"{new}{blank}{issue}" if new else "")

    def of_today(self, text: Text, known: Collection[str]) -> Text:
        """Return an id as it is called now, where it is one of old."""
        new = self._new_id(text)
        return Text(new, text.place) if text not in known and new in known else text

    def source(self, text: Text) -> bool:
        """Check a reference to a source, or to an issue of one."""
        known = self.ids.get("sources")
        paper, _, issue = text.partition(" ")
        if known is not None and issue and text not in known and paper in known:
            page = re.fullmatch(r"(?:pp?|pg|page|pages|s|seite)\.? ?(\d\S*)", issue.strip(), re.IGNORECASE)
            put_right = sentence("facts.write-page", paper=paper, page=page[1]) if page else None
            says = {"paper": paper, "issue": issue, "dated": "{dated: 1981-03}"}
            self.refuse("facts.unknown-source.issue", text, put_right=put_right, **says)
            return False
        return self.refer(text, known, "facts.unknown-source", "sources.yml")

    def mark(self, text: Text) -> bool:
        """Check a reference to a mark."""
        return self.refer(text, self.forms if self.marks_complete else None, "facts.unknown-mark", "marks/")

    def form(self, mark: str, text: Text) -> bool:
        """Check a reference to a form of a mark that is known."""
        forms = self.forms.get(mark)
        known = None if forms is None else tuple(forms)
        return self.refer(text, known, "facts.unknown-form", f"marks/{mark}.yml")

    def settled_id(self, typed: str) -> str:
        """Return an id as it is read on: one that can be none, as it is meant, so that what follows is not told too."""
        if id_problem(typed, "") is None:
            return str(typed)
        self._misnamed.add(str(typed))
        self._settled.add(id_meant(typed) or str(typed))
        return id_meant(typed) or str(typed)

    def misplace(self, id: str, place: Place, put_right: Sentence) -> None:
        """Note a file that is not read where it lies: should its id be missed, that is said of the file alone."""
        self.misplaced.setdefault(id, (place, put_right))

    def note_former(self, id: str, record: Node | None) -> None:
        """Note the ids that a record had before, as it says under `formerly:`, and its name, for what names it so."""
        name = record.get("name") if isinstance(record, Keyed) else None
        if isinstance(name, Text):
            self._called.setdefault(" ".join(name.casefold().split()), {})[id] = None
        old = record.get("formerly") if isinstance(record, Keyed) else None
        self._former |= {str(one): id for one in items_of(old) if isinstance(one, Text)}

    def usable_id(self, text: Text, what: Value) -> bool:
        """Tell whether an id can be a file name and part of an address everywhere; else add a finding."""
        problem = id_problem(text, what)
        if problem:
            self.problem(problem, text.place)
        return problem is None


_WINDOWS_NAMES = re.compile(r"(aux|con|nul|prn|conin\$|conout\$|clock\$|(com|lpt)[0-9])(\..*)?", re.DOTALL)
_LONGEST_ID = 60


def id_problem(text: str, what: Value) -> Problem | None:
    """Return why a text cannot be an id of ``what`` ("a form"), or None."""
    small = text.casefold()
    if small in RESERVED_IDS:
        return Problem.of("facts.reserved-id", what=what, found=repr(text), better=f"{text}-form")
    if _WINDOWS_NAMES.fullmatch(small):
        return Problem.of("facts.reserved-name", what=what, found=repr(text), better=f"{text}-part")
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", text):
        return Problem.of("facts.bad-id", put_right=write(id_meant(text)), what=what, found=repr(text))
    if len(text) > _LONGEST_ID:
        return Problem.of("facts.bad-id.long", what=what, letters=_LONGEST_ID, found=len(text))
    return None

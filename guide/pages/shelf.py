"""What every page is made from (`Shelf`), what a page is (`Page`), and where one stands (`Address`).

A page's context is a plain mapping worked out here in Python; a template only lays it out. Nothing in this
stage touches the disk: drawings and photographs come in ready, from the press.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import wraps
from hashlib import sha256
from typing import Any, Concatenate, ParamSpec, TypeVar

from guide.dating.key import Key
from guide.dating.model import Model, described
from guide.facts.reads import Question, Readings, answering, note, note_fields, remembered
from guide.facts.recall import the_recall
from guide.facts.records.frontispiece import Spot
from guide.facts.types import Guide
from guide.limits.positions import SeriesLine
from guide.limits.types import LimitsResult
from guide.pages.parts.naming import safe_name
from guide.words.say import Words

__all__ = ["Address", "Context", "Drawing", "Page", "Photograph", "Shelf", "answer_digest", "answered", "once"]

Context = Mapping[str, Any]


@dataclass(frozen=True, order=True, slots=True)
class Address:
    """Where one page stands: its kind and id, its output name (with ``/``), and its title in words."""

    kind: str
    id: str
    path: str
    title: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing made ready: the box it is drawn in (an SVG viewBox) and its shapes, markup that is safe in a page."""

    box: str
    shapes: str

    @property
    def sides(self) -> tuple[float, float, float, float] | None:
        """Return its box as left, top, width and height; None for one that is not four numbers."""
        try:
            left, top, width, height = (float(one) for one in self.box.split())
        except ValueError:
            return None
        return left, top, width, height

    def holds(self, spot: Spot) -> bool:
        """Tell whether a spot lies on it."""
        if self.sides is None:
            return False
        left, top, width, height = self.sides
        return left <= spot[0] <= left + width and top <= spot[1] <= top + height

    @property
    def markup(self) -> str:
        """The drawing from its box on, as it stands after the first attributes of its element."""
        return f'viewBox="{self.box}">{self.shapes}</svg>'


@dataclass(frozen=True, slots=True)
class Photograph:
    """A photograph made ready: its output name, its size in pixels, and its bytes; ``smaller`` is it in less width."""

    path: str
    width: int
    height: int
    data: bytes
    smaller: tuple[Photograph, ...] = ()  # the narrowest first

    @property
    def lightest(self) -> Photograph:
        """Return it in its least width."""
        return self.smaller[0] if self.smaller else self


@dataclass(frozen=True, kw_only=True, slots=True)
class Shelf:
    """Everything the pages are made from; frozen, worked out once for a build."""

    guide: Guide
    limits: LimitsResult
    key: Key
    words: Words
    tally: Any = None  # guide.tally's, when cars were seen
    drawings: Mapping[str, Drawing] = field(default_factory=dict)  # by file in pictures/
    photographs: Mapping[str, Photograph] = field(default_factory=dict)  # file in pictures/ -> what was made
    weights: Mapping[str, int] = field(default_factory=dict)  # output name -> bytes, once made
    places: Mapping[tuple[str, str], Address] = field(default_factory=dict)  # (kind, id) -> address
    for_editor: bool = False  # in the preview: with what is never published

    known: dict[Any, Any] = field(init=False, repr=False, compare=False, default_factory=dict)  # what `once` remembers

    @property
    def lines(self) -> Mapping[str, SeriesLine]:
        """The series whose numbers give the order of build."""
        return self.limits.lines

    @property
    def model(self) -> Model:
        """What the key asks, and of what; what it computes with is ``key.model``."""
        if described not in self.known:
            with answering():
                self.known[described] = described(self.key.model)
        found: Model = self.known[described]
        return found

    def say(self, sentence: str, **slots: str | int) -> str:
        """Return a sentence in the guide's language."""
        return self.words.say(sentence, **slots)


note_fields(Shelf, ("tally", "key"))  # what rests on these and is no answer is always made anew

_ANSWERED: dict[str, Callable[..., Any]] = {}  # by name
Asked = ParamSpec("Asked")
Found = TypeVar("Found")


def once(work: Callable[Concatenate[Shelf, Asked], Found]) -> Callable[Concatenate[Shelf, Asked], Found]:
    """Remember for a build what a function says of the very same things, which several pages ask it.

    Nobody may change what it returns.
    """

    @wraps(work)
    def ask(shelf: Shelf, /, *asked: Asked.args, **named: Asked.kwargs) -> Found:
        assert not named, "what is remembered is asked for by position"
        # What was asked is held with it, so that no other thing takes its place.
        return remembered(shelf.known, (work, *map(id, asked)), lambda: (work(shelf, *asked, **named), asked))[0]

    return ask


def answered(work: Callable[Concatenate[Shelf, Asked], Found]) -> Callable[Concatenate[Shelf, Asked], Found]:
    """Let a page that asks a function rest on what it answers, and not on what that is found from.

    It is asked with, and answers, plain things: ids, figures, sentences.
    """
    name = f"{work.__module__}.{work.__name__}"

    @wraps(work)
    def ask(shelf: Shelf, /, *asked: Asked.args, **named: Asked.kwargs) -> Found:
        assert not named, "a question is asked by position"
        question = Question(name, asked)
        with answering() as read:
            found = work(shelf, *asked, **named)
        note(question, lambda: _digest_of(shelf, question, found, read))
        return found

    _ANSWERED[name] = work
    return ask


def answer_digest(shelf: Shelf, question: Question) -> str:
    """Return a digest of what is answered to a question, which is not asked where nothing that it rests on is other
    than it was (`guide.facts.recall`)."""
    digests, recall = _digests(shelf), the_recall()
    if question not in digests and recall is not None and (held := recall.held(question)) is not None:
        digests[question] = held.found
    if question not in digests:
        with answering() as read:
            found = _ANSWERED[question.who](shelf, *question.of)
        _digest_of(shelf, question, found, read)
    return digests[question]


def _digest_of(shelf: Shelf, question: Question, found: Any, read: Readings) -> str:
    digests, recall = _digests(shelf), the_recall()
    if question not in digests:
        digests[question] = sha256(repr(found).encode()).hexdigest()
        if recall is not None:  # what is read of the tally passes on what that was counted from
            recall.keep(
                question, {reading: of for reading, of in read.items() if reading[1] != "tally"}, digests[question]
            )
    return digests[question]


def _digests(shelf: Shelf) -> dict[Question, str]:
    found: dict[Question, str] = shelf.known.setdefault(answered, {})
    return found


@dataclass(frozen=True, slots=True)
class Page:
    """One kind of page.

    ``addresses`` lists the pages of this kind (none when the guide has nothing for them), ``context`` works
    out what ``template`` (a file in the theme's ``pages/``) lays out.
    """

    kind: str
    addresses: Callable[[Shelf], Iterable[Address]]
    context: Callable[[Shelf, Address], Context]
    template: str


def page_each(
    kind: str, records: Callable[[Guide], Mapping[str, Any]], context: Callable[[Shelf, Any], Context]
) -> Page:
    """Return a kind of which there is a page for each of some records, named and called as the record is."""

    def addresses(shelf: Shelf) -> Iterable[Address]:
        for identity, record in records(shelf.guide).items():
            yield Address(kind, identity, f"{kind}s/{safe_name(identity, '.html')}", record.name)

    return Page(
        kind, addresses, lambda shelf, address: context(shelf, records(shelf.guide)[address.id]), f"{kind}.html"
    )


def one_page(
    kind: str,
    title: str,
    context: Callable[[Shelf], Context] = lambda _: {},
    *,
    there: Callable[[Shelf], object] = lambda _: True,
) -> Page:
    """Return a kind of which there is one page, named as its template, where the guide has anything for it (``there``).

    ``title`` is the id of the sentence that the page is called by; it may name the car.
    """

    def addresses(shelf: Shelf) -> Iterable[Address]:
        return [Address(kind, "", f"{kind}.html", shelf.say(title, car=shelf.guide.car))] if there(shelf) else []

    return Page(kind, addresses, lambda shelf, _: context(shelf), f"{kind}.html")

"""Rival ends: several papers that each say when production began or ended, or with which number a run did.

All are shown; the widest of them stands, unless a ruling beside them sets it aside. Until then it is found that they
differ. A paper that gives a month differs from none that gives a day of it: the day stands, and the month agrees.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from guide.facts.records.fields import Reader, key, record, records_of
from guide.facts.records.readers import date_only, day, lately, said_last, source_id, text, written
from guide.facts.text.desk import Desk
from guide.facts.text.source import Items, Keyed, Node
from guide.facts.values import Text, When
from guide.facts.when.numbers import plain_number
from guide.finding import Place
from guide.sentence import one_of, sentence

__all__ = ["EndCar", "EndDay", "EndRuling", "RivalEnd", "end_cars", "end_days", "end_rulings", "settled"]


@record("end-day")
class EndDay:
    """What one paper says of the day on which production began or ended; it may give no more than a month or year."""

    day: When = key(written(date_only))
    source: str = key(source_id, default="")
    page: str = key(text, default="")
    printed: str = key(text, default="")
    place: Place


@record("end-car")
class EndCar:
    """What one paper says of the number with which a run ended."""

    car: Text = key(text)
    source: str = key(source_id, default="")
    page: str = key(text, default="")
    printed: str = key(text, default="")
    place: Place


@record("end-ruling")
class EndRuling:
    """The editor's decision which of rival ends does not stand, named as `source last 1972-10-20`."""

    set_aside: str = key(text, "set aside")
    why: str = key(said_last)
    on: date = key(lately(day))
    by: str = key(said_last, default="")
    place: Place


@dataclass(frozen=True, kw_only=True, slots=True)
class RivalEnd:
    """One of several claims of an end, "first" or "last"; ``ruling`` is what set it aside, None where it stands.

    ``is_widest``: nothing that stands goes further. ``at`` is its day or its number, to be compared; ``when`` what the
    paper gives in place of one day.
    """

    end: str
    written: str
    at: date | int
    source: str
    page: str
    printed: str
    place: Place
    when: When | None = None
    ruling: EndRuling | None = None
    is_widest: bool = False
    agrees: bool = False  # a month or year within which the widest lies

    def holds(self, other: RivalEnd) -> bool:
        """Tell whether it gives a month or year, and another claim lies within that and is more exact."""
        if self.when is None or not isinstance(other.at, date):
            return False
        first, last = self.when.days()
        low, high = (other.at, other.at) if other.when is None else other.when.days()
        return (first, last) != (low, high) and first <= low and high <= last

    @property
    def name(self) -> str:
        """What a ruling calls it."""
        return f"{self.source} {self.end} {self.written}".strip()


def _end_days(node: Node, desk: Desk) -> tuple[EndDay, ...] | None:
    if isinstance(node, Items | Keyed):
        return records_of(EndDay, "end-days").read(node, desk) or None
    read = written(date_only).read(node, desk)
    return None if read is None else (EndDay(day=read, place=node.place),)


def _end_cars(node: Node, desk: Desk) -> tuple[EndCar, ...] | None:
    if isinstance(node, Text):
        return (EndCar(car=node, place=node.place),)
    return records_of(EndCar, "end-cars").read(node, desk) or None


end_days: Reader[tuple[EndDay, ...]] = Reader(sentence("facts.shape.end-days"), _end_days)
end_cars: Reader[tuple[EndCar, ...]] = Reader(sentence("facts.shape.end-cars"), _end_cars)
end_rulings: Reader[tuple[EndRuling, ...]] = records_of(EndRuling, "end-rulings")


def settled(claims: Sequence[RivalEnd], rulings: Sequence[EndRuling], desk: Desk) -> tuple[RivalEnd, ...]:
    """Return claims of one thing's ends as rulings leave them, and find where they differ and nobody has ruled."""
    named = {_plain(one.set_aside): one for one in rulings}
    for plain, ruling in named.items():
        if plain not in {_plain(one.name) for one in claims}:
            known = one_of([one.name for one in claims]) if claims else ""
            desk.find("facts.ruling-names-nothing.end", ruling.place, found=repr(ruling.set_aside), known=known)
    ruled = [replace(one, ruling=named.get(_plain(one.name))) for one in claims]
    found: list[RivalEnd] = []
    for end, furthest in (("first", min), ("last", max)):
        mine = [one for one in ruled if one.end == end]
        standing = [one for one in mine if one.ruling is None] or mine
        exact = [one for one in standing if not any(one.holds(other) for other in standing)]
        if exact:
            widest = _furthest(exact, furthest)
            found += [
                replace(
                    one, is_widest=one in exact and one.at == widest.at, agrees=one in standing and one.holds(widest)
                )
                for one in mine
            ]
            _say_rivals(exact, widest, desk)
    return tuple(found)


def _furthest(claims: Sequence[RivalEnd], furthest: Callable[..., RivalEnd]) -> RivalEnd:
    return furthest(claims, key=lambda one: one.at)


def _say_rivals(standing: Sequence[RivalEnd], widest: RivalEnd, desk: Desk) -> None:
    """Find ends that differ, at the first that goes less far."""
    other = next((one for one in standing if one.at != widest.at), None)
    if other is not None:
        example = f'ruling: {{set aside: "{other.name}", why: not borne out elsewhere, on: 2026-01-31}}'
        related = [(one.place, sentence("facts.related.end", name=one.name)) for one in standing if one is not other]
        desk.find(
            f"facts.rival-ends.{other.end}", other.place, related, said=other.name, widest=widest.name, ruling=example
        )


def _plain(name: str) -> tuple[str, ...]:
    """Return a name as it is compared: spacing and case forgiven, and dashes in what comes last."""
    source, _, rest = " ".join(name.casefold().split()).partition(" ")
    end, _, at = rest.partition(" ")
    return source, end, plain_number(at)

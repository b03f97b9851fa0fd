"""interiors.yml: trim combinations as built."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from guide.facts.records.counts import Count, count_list
from guide.facts.records.fields import Field, Typed, key, record, records_of
from guide.facts.records.readers import in_order, rest_or_share, said, six_digits, source_id, text, texts, when, yes_no
from guide.facts.records.scopes import cars
from guide.facts.text.desk import Desk
from guide.facts.values import Scope, When
from guide.finding import Place

__all__ = ["Interior", "Span"]


@record("span")
class Span:
    """A stretch in which something was built, in one scope."""

    scope: Scope = key(cars, "for", default=Scope())
    first: When = key(when, "from")
    last: When = key(when, "to")
    source: str = key(source_id, default="")
    place: Place

    def agrees(self, places: Mapping[str, Place], desk: Desk) -> bool:
        """Tell whether it begins before it ends."""
        return in_order(self.first, self.last, places["to"], desk)


@record("interior")
class Interior:
    """A trim combination as built. ``share`` None with ``rest`` True: whatever the others leave."""

    id: str
    name: str = key(said)
    colour: str = key(text)
    material: str = key(text)
    swatch: str = key(six_digits, default="")  # six hex digits
    option: bool = key(yes_no, default=False)
    SHARE: ClassVar = Field("share", rest_or_share)
    rest: bool = False
    share: float | None = None
    spans: tuple[Span, ...] = key(records_of(Span, "spans"), "built")
    counts: tuple[Count, ...] = key(count_list, default=())
    asked_as: str = key(said, default="")  # the answer, when the interior is asked for by eye
    picture: str = key(text, default="")  # a file in pictures/ for that answer
    about: str = key(text, default="")  # Markdown
    formerly: tuple[str, ...] = key(texts, default=())
    place: Place

    @classmethod
    def beside_keys(cls, typed: Typed[Interior], _: Desk) -> dict[str, Any]:
        """Return its share, or that it is whatever the others leave."""
        share = typed.find(cls.SHARE)
        return {"rest": True} if share == "rest" else {"share": share}

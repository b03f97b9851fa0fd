"""sources.yml: whose word everything is."""

from __future__ import annotations

from guide.facts.records.fields import key, record
from guide.facts.records.readers import choice, date_only, said, text
from guide.facts.values import Trust, When
from guide.finding import Place

__all__ = ["Source"]


@record("source")
class Source:
    """A paper, a register, a letter: described as a librarian would."""

    id: str
    name: str = key(said)
    kind: str = key(said)
    trust: Trust = key(choice(Trust, "trust"))
    dated: When | None = key(date_only, default=None)
    about: str = key(text, default="")  # Markdown
    held: str = key(said, default="")  # where it can be seen
    place: Place

"""References to a form of a mark: `switches/rocker`, or `washer-bottle/bag/2` for its second spell."""

from __future__ import annotations

from guide.facts.records.fields import Reader
from guide.facts.records.readers import text
from guide.facts.text.desk import Desk
from guide.facts.text.source import Node
from guide.facts.types import FormRef, Text

__all__ = ["form_ref", "read_form_ref"]


def read_form_ref(scalar: Text, desk: Desk, mark: str | None = None) -> FormRef | None:
    """Return a reference whose mark, form and spell are known; ``mark`` is meant when none is named."""
    parts = [part.strip() for part in scalar.split("/")]
    if mark is not None and (len(parts) == 1 or (len(parts) == 2 and parts[1].isdigit())):
        parts = [mark, *parts]
    if len(parts) not in (2, 3) or not all(parts) or (len(parts) == 3 and not parts[2].isdigit()):
        desk.say(
            "bad-form-reference",
            scalar.place,
            f"expected a mark and its form, found {str(scalar)!r}",
            "write it as mark/form, or mark/form/2 for a second spell",
        )
        return None
    name, form = Text(parts[0], scalar.place), Text(parts[1], scalar.place)
    if not desk.mark(name) or not desk.form(name, form):
        return None
    spell = int(parts[2]) if len(parts) == 3 else 1
    forms = desk.forms.get(name)
    spells = forms.get(form, spell) if forms else spell
    if not 1 <= spell <= spells:
        desk.say(
            "unknown-spell",
            scalar.place,
            f"{form} of {name} has {spells} spell{'s' if spells != 1 else ''}, found a reference to number {spell}",
            "count its `spells:` from 1, or add one",
        )
        return None
    return FormRef(str(name), str(form), spell)


def _read(node: Node, desk: Desk) -> FormRef | None:
    scalar = text.read(node, desk)
    return None if scalar is None else read_form_ref(scalar, desk)


form_ref: Reader[FormRef] = Reader("a form, as mark/form or mark/form/2", _read)

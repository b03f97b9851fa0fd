"""References to a form of a mark: `switches/rocker`, or `washer-bottle/bag/2` for its second spell."""

from __future__ import annotations

import re

from guide.facts.records.fields import Reader
from guide.facts.records.readers import of_text
from guide.facts.text.desk import Desk
from guide.facts.values import FormRef, Text

__all__ = ["form_ref", "read_form_ref"]


_SPELL = re.compile(r"[0-9]{1,3}")


def read_form_ref(scalar: Text, desk: Desk, mark: str | None = None) -> FormRef | None:
    """Return a reference whose mark, form and spell are known; ``mark`` is meant when none is named."""
    parts = [part.strip() for part in scalar.split("/")]
    if mark is not None and (len(parts) == 1 or (len(parts) == 2 and _SPELL.fullmatch(parts[1]))):
        parts = [mark, *parts]
    if len(parts) not in (2, 3) or not all(parts) or (len(parts) == 3 and not _SPELL.fullmatch(parts[2])):
        desk.refuse("facts.bad-form-reference", scalar)
        return None
    name, form = Text(parts[0], scalar.place), Text(parts[1], scalar.place)
    if not desk.mark(name) or not desk.form(name, form):
        return None
    spell = int(parts[2]) if len(parts) == 3 else 1
    forms = desk.forms.get(name)
    spells = forms.get(form, spell) if forms else spell
    if not 1 <= spell <= spells:
        desk.find("facts.unknown-spell", scalar.place, form=str(form), mark=str(name), n=spells, spell=spell)
        return None
    return FormRef(str(name), str(form), spell)


form_ref: Reader[FormRef] = of_text("form-ref")(read_form_ref)

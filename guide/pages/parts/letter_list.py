"""A part in the restorer's list: the right one with its number, what can be had of it, what fits but is not right, and
how each is told. The twin is `right` in guide/browser/letter.js.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from guide.dating.fitted import FittedMark
from guide.dating.model import Model, ModelForm
from guide.pages.parts.letter_lines import GUIDE, Line
from guide.sentence import Value, in_turn, listed, lower_first, sentence

__all__ = ["right_part"]

_Told = Sequence[tuple[ModelForm, Mapping[str, Any]]]


def right_part(model: Model, facts: Mapping[str, Any], one: FittedMark, line: Line) -> Line:
    """Return a part as the list has it; ``line`` says what the works can have fitted, ``facts`` are `letter_facts`."""
    mark = model.marks[one.mark]
    known = facts["marks"].get(mark.id, {"forms": {}, "tells": ""})
    told = [(mark.forms[form.form], known["forms"].get(mark.forms[form.form].id, {})) for form in one.forms]
    right = {form.id for form, _ in told}
    more = list(_had(mark.id, told))
    more += [_not_right(facts, mark.id, form, known) for form in mark.forms if form.id not in right]
    tells = [tell for _, each in told for tell in each.get("tells", ())]
    more += [Line(sentence("pages.letter.tell", **tell), (GUIDE,), mark.id) for tell in tells]
    more += [Line(known["tells"], (GUIDE,), mark.id)] if known["tells"] else []
    says = _with(line.says, "numbered", told, "numbers")
    return replace(line, says=_with(says, "stamped", told, "stamped"), more=tuple(more))


def _had(mark: str, told: _Told) -> Iterator[Line]:
    """Yield what can be had of the right forms; where there are several, each with its own."""
    for form, each in told:
        for says, source in each.get("had", ()):
            named = sentence("pages.letter.had", form=form.name, says=says) if len(told) > 1 else says
            yield Line(named, (source or GUIDE,), mark)


def _not_right(facts: Mapping[str, Any], mark: str, form: ModelForm, known: Mapping[str, Any]) -> Line:
    told = known["forms"].get(form.id, {})
    answer, numbers = lower_first(form.answer), listed(told["numbers"]) if told.get("numbers") else ""
    named = sentence("pages.letter.with_form", form=answer, carries=numbers) if numbers else answer
    says: Value = sentence("pages.letter.not_right", form=named)
    by = tuple(dict.fromkeys(one for entry in facts["behind"].get(mark, {}).get(form.id, ()) for one in entry))
    return Line(in_turn([says, told["how"]]) if told.get("how") else says, by or (GUIDE,), mark)


def _with(line: Value, name: str, told: _Told, what: str) -> Value:
    """Return a line with what the right forms carry; where there are several, each with its own."""
    carried = [(form, listed(each[what])) for form, each in told if each.get(what)]
    if len(told) > 1:
        each = [sentence("pages.letter.with_form", form=lower_first(form.name), carries=one) for form, one in carried]
        return sentence(f"pages.letter.{name}", line=line, carries=listed(each)) if each else line
    return sentence(f"pages.letter.{name}", line=line, carries=carried[0][1]) if carried else line

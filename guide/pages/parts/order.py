"""Order without a date, in plain sentences: which forms one came in after, before or together with; on whose word."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from guide.facts.types import FormRef, Mark, Scope, StatementKind
from guide.limits.rulings import standing_of
from guide.limits.wording import form_said, scope_said
from guide.pages.parts.changes import Notes
from guide.pages.shelf import Shelf
from guide.sentence import Marked, Sentence, chained, marked, sentence, upper_first

__all__ = ["orders_said"]

_Sides = dict[StatementKind, list[Marked]]


def orders_said(shelf: Shelf, mark: Mark, notes: Notes) -> list[dict[str, Any]]:
    """Return what is stated of a mark's forms beside others, ``{scope, pieces}``, form by form.

    What a clash or a ruling sets aside, and what only echoes another, is left to the table of statements.
    """
    aside = {clash.set_aside for clash in shelf.limits.clashes if clash.mark == mark.id and clash.ruled is None}
    found: dict[tuple[FormRef, Scope], _Sides] = {}
    for read in standing_of(shelf.guide, mark):
        one = read.statement
        if one.other is not None and read.index not in aside:
            sides = found.setdefault((FormRef(mark.id, one.form, one.spell), one.scope), {})
            other = marked("order", form_said(shelf.guide, one.other, mark.id), notes.number(one.source, one.page))
            sides.setdefault(one.kind, []).append(other)
    order = list(mark.forms)
    return [
        {"scope": upper_first(scope_said(shelf.guide, scope)), "pieces": shelf.words.pieces(said)}
        for (ref, scope), sides in sorted(found.items(), key=lambda pair: order.index(pair[0][0].form))
        for said in _sentences(mark.forms[ref.form].name, sides)
    ]


def _sentences(form: str, sides: _Sides) -> Sequence[Sentence]:
    said = {kind: chained("pages.mark.order.and", others) for kind, others in sides.items()}
    together = said.pop(StatementKind.TOGETHER, None)
    after, before = said.get(StatementKind.AFTER), said.get(StatementKind.BEFORE)
    found = []
    if after is not None and before is not None:
        found.append(sentence("pages.mark.order.between", form=form, after=after, before=before))
    elif after is not None:
        found.append(sentence("pages.mark.order.after", form=form, after=after))
    elif before is not None:
        found.append(sentence("pages.mark.order.before", form=form, before=before))
    if together is not None:
        found.append(sentence("pages.mark.order.together", form=form, together=together))
    return found

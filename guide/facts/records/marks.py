"""marks/*.yml: one thing to look at in each file; the file name is the mark's id."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace

from guide.constants import value_of
from guide.facts.records.fields import (
    Reader,
    is_form_outside,
    key,
    keyed_nodes,
    open_record,
    raw,
    record,
    record_of,
    records_of,
    typed_for,
)
from guide.facts.records.forms import Form, count_spells, read_form
from guide.facts.records.pictures import Picture
from guide.facts.records.readers import (
    a_share,
    choice,
    duration_days,
    number,
    of_text,
    said,
    said_texts,
    share_of_text,
    text,
    texts,
    yes_no,
)
from guide.facts.records.references import read_form_ref
from guide.facts.records.rulings import Ruling, read_rulings
from guide.facts.records.scopes import cars
from guide.facts.records.statements import Statement, StatementKind, read_changes
from guide.facts.records.withdrawn import is_withdrawn
from guide.facts.text.desk import Desk
from guide.facts.text.meant import nearest
from guide.facts.text.problem import Problem, write
from guide.facts.text.source import Keyed, Node, items_of
from guide.facts.values import FormRef, Reach, Scope, Text
from guide.facts.when.typed import in_english
from guide.finding import Place
from guide.sentence import listed

__all__ = ["Mark", "forms_of", "read_mark"]

_SURVIVAL = {
    "nearly all": "survives_nearly_all",
    "most": "survives_most",
    "half": "survives_half",
    "few": "survives_few",
}


@of_text("text")
def _survives(text: Text, desk: Desk) -> float | None:
    name = _SURVIVAL.get(text.casefold())
    share = value_of(name, desk.overrides) if name else share_of_text(in_english(text, desk.language, "amount"))
    if not isinstance(share, Problem):
        return share
    put_right = share.put_right if text.isdigit() else write(nearest(text, _SURVIVAL))
    desk.refuse("facts.unknown-choice.survives", text, put_right=put_right, choices=listed(_SURVIVAL))
    return None


survives: Reader[float] = replace(_survives, choices=tuple(_SURVIVAL))


@record("mark", noted=("statements",))
class Mark:
    """One thing to look at."""

    id: str
    name: str = key(said)
    also: tuple[str, ...] = key(said_texts, default=())  # synonyms; "de: Kippschalter" names the language
    area: str
    question: str = key(said)
    look: str = key(said, default="")
    reach: Reach = key(choice(Reach, "reach"))
    in_photographs: bool = key(yes_no, default=False)
    survives_share: float = key(
        replace(_survives, choices=tuple(_SURVIVAL)), "survives"
    )  # the chance that a car still has its own
    misread_share: float | None = key(a_share, "misread", default=None)  # None: the guide's default
    effort: float | None = key(number, default=None)  # None: the reach's default
    ask: bool = key(yes_no, default=True)  # False: shown, never asked
    date_on_it: str = key(said, default="")  # where a date of its making stands on it; empty: nowhere
    dated_before: int | None = key(duration_days, default=None)  # days before the car; None: the guide's default
    scope: Scope = key(cars, "only if", default=Scope())
    order: tuple[FormRef, ...] = key(raw("order"), default=())  # spells in order of production; empty: not known
    forms: Mapping[str, Form] = key(raw("forms"))
    pictures: tuple[Picture, ...] = key(records_of(Picture, "pictures"), default=())  # of the mark as a whole
    statements: tuple[Statement, ...] = key(raw("changes"), "changes", default=())
    rulings: tuple[Ruling, ...] = key(raw("rulings"), default=())
    about: str = key(text, default="")  # Markdown: how to look, at length
    taken_for: str = key(text, default="")  # Markdown
    wear: str = key(text, default="")  # Markdown
    to_be_had: str = key(text, default="")  # Markdown
    caution: str = key(text, default="")  # Markdown
    formerly: tuple[str, ...] = key(texts, default=())
    place: Place


def forms_of(node: Node | None, desk: Desk) -> dict[str, int] | None:
    """Return the ids of a mark's forms with their number of spells, before the mark itself is read."""
    forms = typed_for(record_of(Mark), node, "forms")
    if not isinstance(forms, Keyed):
        return None
    assert isinstance(node, Keyed)
    outside = (pair for pair in node.pairs if is_form_outside(record_of(Mark), *pair))
    return {desk.settled_id(key): count_spells(form) for key, form in (*forms.pairs, *outside)}


def read_mark(mark: str, area: str, node: Node, more: tuple[Statement, ...], desk: Desk) -> Mark | None:
    """Return a mark with its forms, statements (``more`` come from statements.csv) and rulings."""
    typed = open_record(Mark, node, desk)
    if typed is None:
        return None
    before = desk.count
    forms, stated = _forms(mark, typed.node_of("forms"), desk)
    said_of_it = (*stated, *read_changes(typed.node_of("changes"), mark, desk), *more)
    whole = desk.count == before and desk.is_whole
    said_of_forms = [one for one in said_of_it if one.form in forms]
    statements = tuple(one for one in said_of_forms if not _is_of_withdrawn(one, desk))
    whole = whole and len(statements) == len(said_of_forms)
    rulings = read_rulings(typed.node_of("rulings"), mark, statements, desk, whole=whole)
    order = _order(typed.node_of("order"), mark, forms, desk)
    return typed.make(id=mark, area=area, order=order, forms=forms, statements=statements, rulings=rulings)


def _is_of_withdrawn(statement: Statement, desk: Desk) -> bool:
    car = statement.when.car if statement.when is not None else None
    return statement.kind is StatementKind.SEEN and car is not None and is_withdrawn([car], "", desk)


def _forms(mark: str, node: Node | None, desk: Desk) -> tuple[dict[str, Form], tuple[Statement, ...]]:
    forms: dict[str, Form] = {}
    statements: list[Statement] = []
    for form_id, value in keyed_nodes(node, Form, desk, "facts.wrong-shape.forms"):
        read = read_form(mark, form_id, value, desk.forms[mark] or (), desk)
        if read is not None:
            forms[str(form_id)] = read[0]
            statements += read[1]
    return forms, tuple(statements)


def _order(node: Node | None, mark: str, forms: Mapping[str, Form], desk: Desk) -> tuple[FormRef, ...]:
    """Return the spells in order of production: the nth time a form is named is its nth spell."""
    times: Counter[str] = Counter()
    order: list[FormRef] = []
    for one in items_of(node):
        if not isinstance(one, Text):
            desk.refuse("facts.wrong-shape.order", one)
            continue
        if "/" not in one:
            times[str(one)] += 1
        numbered = one if "/" in one or times[one] == 1 else Text(f"{one}/{times[one]}", one.place)
        ref = read_form_ref(numbered, desk, mark)
        form = forms.get(ref.form) if ref else None
        if ref is None or form is None:
            continue
        if not form.dates_a_car:
            desk.find("facts.order-without-works", one.place, form=str(one))
        elif ref in order:
            desk.find("facts.repeated-in-order", one.place, form=str(one))
        else:
            order.append(replace(ref, form=Text(ref.form, one.place)))
    return tuple(order)

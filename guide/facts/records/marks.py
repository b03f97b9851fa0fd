"""marks/*.yml: one thing to look at in each file; the file name is the mark's id."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from guide.constants import value_of
from guide.facts.records.fields import Field, Record, Row, raw, shape_of
from guide.facts.records.forms import count_spells, read_form
from guide.facts.records.readers import choice, number, said, said_texts, share, share_of_text, text, texts, yes_no
from guide.facts.records.references import read_form_ref
from guide.facts.records.rulings import read_rulings
from guide.facts.records.scopes import scope
from guide.facts.records.statements import read_changes
from guide.facts.text.desk import Desk
from guide.facts.text.problem import Problem, nearest
from guide.facts.text.source import Items, Keyed, Node
from guide.facts.types import Form, FormRef, Mark, Reach, Scope, Statement, Text

__all__ = ["RECORDS", "SURVIVAL", "forms_of", "read_mark"]

SURVIVAL = {
    "nearly all": "survives_nearly_all",
    "most": "survives_most",
    "half": "survives_half",
    "few": "survives_few",
}
NAME = Field("name", said, "the part's own name", True)
ALSO = Field("also", said_texts, 'what others call it; "de: Kippschalter" names the language')
QUESTION = Field("question", said, "the question in the key", True)
LOOK = Field("look", said, "where and how to look, in a sentence or two")
REACH = Field("reach", choice(Reach, "what one must be able to do"), "what one must be able to do", True)
IN_PHOTOGRAPHS = Field("in photographs", yes_no, "whether it shows in usual photographs")
SURVIVES = Field(
    "survives", text, "nearly all, most, half, few, or a share: the chance that a car still has its own", True
)
MISREAD = Field("misread", share, "the chance that it is read wrongly; left out, the guide's own")
EFFORT = Field("effort", number, "the trouble of looking, 1 for a glance; left out, that of its reach")
ASK = Field("ask", yes_no, "`no` for what is shown but never asked")
ONLY_IF = Field("only if", scope, "the cars that have such a thing at all")
ORDER = Field(
    "order",
    raw("a list of forms"),
    "the order in which the works fitted them; a form that returned stands twice. Left out, no order is known",
)
FORMS = Field("forms", raw("each form under its id"), "the ways it is found, in the order they are shown", True)
CHANGES = Field("changes", raw("a list of changes"), "claims that close a form and open the next")
RULINGS = Field("rulings", raw("a list of rulings"), "your decisions on statements that clash")
ABOUT = Field("about", text, "how to look, at length (Markdown)")
TAKEN_FOR = Field("taken for", text, "what misleads (Markdown)")
WEAR = Field("wear", text, "how it wears or fails (Markdown)")
TO_BE_HAD = Field("to be had", text, "what can be had today (Markdown)")
CAUTION = Field("caution", text, "what can hurt, and where to stop and ask (Markdown)")
FORMERLY = Field("formerly", texts, "ids it had before, to keep old links, notes and answers alive")
MARK = Record(
    "a mark",
    "`marks/<id>.yml`",
    (
        NAME,
        ALSO,
        QUESTION,
        LOOK,
        REACH,
        IN_PHOTOGRAPHS,
        SURVIVES,
        MISREAD,
        EFFORT,
        ASK,
        ONLY_IF,
        ORDER,
        FORMS,
        CHANGES,
        RULINGS,
        ABOUT,
        TAKEN_FOR,
        WEAR,
        TO_BE_HAD,
        CAUTION,
        FORMERLY,
    ),
)
RECORDS = (MARK,)


def forms_of(node: Node | None) -> dict[str, int] | None:
    """Return the ids of a mark's forms with their number of spells, before the mark itself is read."""
    forms = node.get("forms") if isinstance(node, Keyed) else None
    return {str(key): count_spells(form) for key, form in forms.pairs} if isinstance(forms, Keyed) else None


def read_mark(mark: str, area: str, node: Node, more: tuple[Statement, ...], desk: Desk) -> Mark | None:
    """Return a mark with its forms, statements (``more`` come from statements.csv) and rulings."""
    row = MARK.open(node, desk)
    if row is None:
        return None
    forms, statements = _forms(mark, row, desk)
    statements = (*statements, *read_changes(row.find(CHANGES), mark, desk), *more)
    statements = tuple(one for one in statements if one.form in forms)
    rulings = read_rulings(row.find(RULINGS), mark, statements, desk)
    survives = _survives(row, desk)
    order = _order(row.find(ORDER), mark, forms, desk)
    if row.incomplete or survives is None:
        return None
    return Mark(
        id=mark,
        name=row.need(NAME),
        also=row.get(ALSO, ()),
        area=area,
        question=row.need(QUESTION),
        look=row.get(LOOK, ""),
        reach=row.need(REACH),
        in_photographs=row.get(IN_PHOTOGRAPHS, False),
        survives=row.need(SURVIVES),
        survives_share=survives,
        misread_share=row.find(MISREAD),
        effort=row.find(EFFORT),
        ask=row.get(ASK, True),
        scope=row.get(ONLY_IF, Scope()),
        order=order,
        forms=forms,
        statements=statements,
        rulings=rulings,
        about=row.get(ABOUT, ""),
        taken_for=row.get(TAKEN_FOR, ""),
        wear=row.get(WEAR, ""),
        to_be_had=row.get(TO_BE_HAD, ""),
        caution=row.get(CAUTION, ""),
        formerly=row.get(FORMERLY, ()),
        place=row.place,
    )


def _forms(mark: str, row: Row, desk: Desk) -> tuple[dict[str, Form], tuple[Statement, ...]]:
    node = row.find(FORMS)
    if node is None:
        return {}, ()
    if not isinstance(node, Keyed):
        desk.say(
            "wrong-shape",
            node.place,
            f"expected each form under its id, found {shape_of(node)}",
            "write the form's id and a colon, and its keys under it",
        )
        return {}, ()
    ids = tuple(str(key) for key, _ in node.pairs)
    forms: dict[str, Form] = {}
    statements: list[Statement] = []
    for key, value in node.pairs:
        read = read_form(mark, key, value, ids, desk) if desk.usable_id(key, "a form") else None
        if read is not None:
            forms[str(key)] = read[0]
            statements += read[1]
    return forms, tuple(statements)


def _survives(row: Row, desk: Desk) -> float | None:
    typed = row.find(SURVIVES)
    if typed is None:
        return None
    name = SURVIVAL.get(typed.casefold())
    if name:
        return value_of(name, desk.overrides)
    value = share_of_text(typed)
    if isinstance(value, Problem):
        near = nearest(typed, SURVIVAL)
        desk.say(
            "unknown-choice",
            typed.place,
            f"expected one of {', '.join(SURVIVAL)}, or a share, found {str(typed)!r}",
            f"write {near}" if near else "write most, or a share as 8 in 10",
        )
        return None
    return value


def _order(node: Node | None, mark: str, forms: Mapping[str, Form], desk: Desk) -> tuple[FormRef, ...]:
    """Return the spells in order of production: the nth time a form is named is its nth spell."""
    if node is None:
        return ()
    nodes = node.items if isinstance(node, Items) else (node,)
    times: Counter[str] = Counter()
    order: list[FormRef] = []
    for one in nodes:
        if not isinstance(one, Text):
            desk.say("wrong-shape", one.place, f"expected a form's id, found {shape_of(one)}", "list ids only")
            continue
        if "/" not in one:
            times[str(one)] += 1
        numbered = one if "/" in one or times[one] == 1 else Text(f"{one}/{times[one]}", one.place)
        ref = read_form_ref(numbered, desk, mark)
        form = forms.get(ref.form) if ref else None
        if ref is None or form is None:
            continue
        if not form.dates_a_car:
            desk.say(
                "order-without-works",
                one.place,
                f"{one} stands in the order, but the works did not fit it",
                "take it out of `order:`, or say `factory: yes` in its `fitted as:`",
            )
        elif ref in order:
            desk.say("repeated-in-order", one.place, f"{one} stands twice in the order", "name each spell once")
        else:
            order.append(ref)
    return tuple(order)

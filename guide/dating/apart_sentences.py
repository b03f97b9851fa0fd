"""What is said of the parts that were looked at: a verdict on each, and what stands apart, in sentences.

Of a mark that stands apart, never of a car; a part that differs is a question to ask, not a fault. Marks of
one set that all look later are named once, and so are several later ones in one area. The twin is
guide/browser/dating/apart_sentences.js.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from guide.dating.belief.apart import Apart
from guide.dating.belief.evidence import seen_forms
from guide.dating.belief.result import day_of
from guide.dating.belief.span import days_between
from guide.dating.dated import Dated
from guide.dating.fitted import FittedForm
from guide.dating.fitted_sentences import only_said, trims_of
from guide.sentence import Sentence, all_of, month_year, sentence

__all__ = ["NOT_APART", "groups_apart", "right_for", "verdict_said", "verdicts"]

NOT_APART = ("expected", "only", "covered", "cannot-tell")
"""The verdicts that tell of nothing that stands apart."""
_OF_THAT_KIND = 0.3  # common practice, no source: as much as costs no part that stands apart rightly


def verdicts(dated: Dated) -> list[tuple[Apart, str]]:
    """Return every answered mark in order with its verdict: ``expected``, ``only`` (right for some of such cars),
    ``later``, ``earlier``, ``copy``, ``spare``, ``not-works``, ``misread``, ``other``, ``covered``, ``changed``,
    ``none`` or ``cannot-tell``."""
    by_mark, right = {one.mark: one for one in dated.apart}, _right(dated)
    return [(by_mark[mark], _verdict(dated, by_mark[mark], right.get(mark))) for mark, _ in dated.state.answers]


def _right(dated: Dated) -> dict[int, list[FittedForm]]:
    """Return by answered mark the forms found that are right for such a car, where that is known: where the number
    tells what it should have, or its body, trim or market does. Nothing is as expected then that no page would call
    right for this car. A number that is not to be believed tells nothing."""
    marks, answers = dated.prepared.model.marks, dated.state.answers
    if dated.number_wrong > dated.prepared.model.telling.apart:
        return {}
    if dated.number is None and all(marks[mark].kind == "mark" for mark, _ in answers):
        return {}
    return dated.right


def right_for(dated: Dated, right: Sequence[FittedForm]) -> Sentence:
    """Return that a part is right for some kinds of car only."""
    model = dated.prepared.model
    cars = only_said(model, right[0], trims_of(model, dated.fitted))
    return sentence("dating.verdict.only", cars=cars)


def verdict_said(dated: Dated, one: Apart, verdict: str) -> Sentence:
    """Return a verdict as a sentence."""
    return right_for(dated, dated.right[one.mark]) if verdict == "only" else sentence(f"dating.verdict.{verdict}")


def _alone(dated: Dated) -> bool:
    """Tell whether an answer has nothing to stand apart from: it is the only part that is known of the car, and what
    the car is as a whole dates nothing."""
    marks = dated.prepared.model.marks
    return dated.state.daily is None and sum(marks[mark].kind == "mark" for mark in dated.state.vectors) <= 1


def _is_option(dated: Dated, one: Apart, *, of_some: bool) -> bool:
    """Tell whether what was found was never the usual form, yet on enough such cars, or is right for some of them only
    and the car is likely enough of that kind: first of all it is an option then, or the car is so."""
    model = dated.prepared.model
    built = sum(one.expected[at] for at in seen_forms(model.marks[one.mark], one.answer))
    return (one.looks is None and built >= model.telling.fitted) or (of_some and built >= _OF_THAT_KIND)


def _verdict(dated: Dated, one: Apart, right: Sequence[FittedForm] | None) -> str:
    """Return the verdict on a part; ``right`` are the forms found that are right for such a car, None for not known."""
    mark = dated.prepared.model.marks[one.mark]
    forms = [mark.forms[at] for at in seen_forms(mark, one.answer)]
    if not forms:
        return "covered" if one.answer.forms else one.answer.kind
    could_be, of_some = right is None or bool(right), bool(right) and all(form.of_some for form in right or ())
    expected = "only" if of_some else "expected"
    if could_be and one.chance < dated.prepared.model.telling.apart:
        return expected
    if not any(form.factory for form in forms):
        kinds = {form.kind for form in forms}
        return "copy" if kinds == {"reproduction"} else "spare" if kinds == {"service part"} else "not-works"
    if could_be and (_alone(dated) or _is_option(dated, one, of_some=of_some)):
        return expected
    if one.misread > one.replaced:
        return "misread"
    nine, edges = [days_between(stretch) for stretch in dated.figures.nine], dated.prepared.model.edges
    if one.fitted is not None and edges[one.fitted[0]] > nine[-1][1]:
        return "later"
    if one.fitted is not None and edges[one.fitted[1] + 1] <= nine[0][0]:
        return "earlier"
    return "other"


def groups_apart(dated: Dated) -> list[dict[str, Any]]:
    """Return what stands apart, ``{marks, says, renewed}``, in the order of the answers, gathered where one sentence
    does for several; ``renewed`` tells whether that is that one job changes them all."""
    model = dated.prepared.model
    gathered: dict[tuple[str, str], list[tuple[Apart, str]]] = {}
    for one, verdict in verdicts(dated):
        if verdict in NOT_APART:
            continue
        renewed = dated.prepared.set_of[one.mark]
        key = ("mark", model.marks[one.mark].id)
        if verdict in ("later", "earlier", "other") and renewed is not None:
            key = ("set", model.sets[renewed].id)
        elif verdict == "later":
            key = ("area", model.marks[one.mark].area)
        gathered.setdefault(key, []).append((one, verdict))
    return [
        {
            "marks": [model.marks[one.mark].id for one, _ in members],
            "says": _of_group(dated, key, members),
            "renewed": key[0] == "set" and len(members) > 1,
        }
        for key, members in gathered.items()
    ]


def _of_group(dated: Dated, key: tuple[str, str], members: Sequence[tuple[Apart, str]]) -> Sentence:
    model = dated.prepared.model
    if len(members) == 1:
        return _of_one(dated, *members[0])
    parts = all_of(model.marks[one.mark].name for one, _ in members)
    if key[0] == "set":
        job = next(one.name for one in model.sets if one.id == key[1])
        return sentence("dating.apart.set", parts=parts, job=job)
    return sentence("dating.apart.area", parts=parts)


def _of_one(dated: Dated, one: Apart, verdict: str) -> Sentence:
    mark = dated.prepared.model.marks[one.mark]
    if verdict in ("later", "earlier") and one.fitted is not None:
        edges, (first, last) = dated.prepared.model.edges, one.fitted
        month = month_year(day_of(dated.prepared, edges[first] if verdict == "later" else edges[last + 1] - 1))
        way = f".{verdict}-offer" if one.offered else f".{verdict}"
        return sentence(f"dating.apart{way}", part=mark.name, month=month)
    if verdict == "spare":
        since = [form.since for form in mark.forms if form.id in one.answer.forms and form.since is not None]
        if since:
            return sentence("dating.apart.spare_since", part=mark.name, year=str(min(since)))
    return sentence(f"dating.apart.{verdict}", part=mark.name)

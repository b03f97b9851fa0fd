"""The marks of the model: the guide's own, and those that it gets beside them: the body, the splits, the trim.

These are what can be known of a car before anything is looked at closely, and so are asked for first. Where the guide
says how, they are asked for by eye; otherwise (a market) they stand there for whoever knows them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from guide.constants import value_of
from guide.dating.building.grid import Grid
from guide.dating.building.shares import Combination
from guide.dating.building.tables import PLACES, GroupTable, Mixes, Runs, rounded, run_of
from guide.dating.model import Mix, ModelForm, ModelGroup, ModelMark
from guide.facts.types import FittedAs, Form, Guide, Mark, Reach, Split
from guide.limits.moments import Moments
from guide.words.say import load_words, upper_first

__all__ = ["body_mark", "interior_mark", "plain_mark", "replacement_habits", "split_marks"]

_WORKS = (FittedAs.FACTORY, FittedAs.OPTION)


def plain_mark(mark: Mark, moments: Moments, mixes: Mixes) -> ModelMark:
    """Return a mark of the guide for the model."""
    overrides = moments.guide.overrides
    misread = value_of("misread", overrides) if mark.misread_share is None else mark.misread_share
    effort = float(value_of("effort_look", overrides) if mark.effort is None else mark.effort)
    return ModelMark(
        id=mark.id,
        name=mark.name,
        area=mark.area,
        question=mark.question,
        look=mark.look,
        reach=str(mark.reach),
        photographs=mark.in_photographs,
        effort=effort,
        survives=round(mark.survives_share, PLACES),
        misread=round(misread, PLACES),
        forms=tuple(_form(form, moments) for form in mark.forms.values()),
        mixes=tuple(mixes.found),
        replacement=replacement_habits(mark, overrides),
        ask=mark.ask,
        date_on_it=mark.date_on_it,
        dated_before=mark.dated_before,
    )


def _form(form: Form, moments: Moments) -> ModelForm:
    other = next((fitting for fitting in form.fitted_as if fitting.kind not in _WORKS), None)
    since = moments.bounds(other.first)[0] if other is not None and other.first is not None else None
    return ModelForm(
        id=form.id,
        name=form.name,
        answer=form.answer,
        factory=form.dates_a_car,
        kind="" if other is None else str(other.kind),
        since=since.year if since else None,
        over=tuple(dict.fromkeys(mark for fitting in form.fitted_as for mark in fitting.over)),
    )


def replacement_habits(mark: Mark, overrides: Mapping[str, float]) -> tuple[tuple[float, ...], ...]:
    """Return ``table[built][replaced by]``, or nothing where every form is as likely.

    A form known to be fitted later in place of the one built takes most of it (the constant ``habit``), as one
    that is sold for itself does; the rest is spread over all. A form that the works never fitted is as likely
    whatever was built, so that it carries no date.
    """
    forms = list(mark.forms.values())
    count = len(forms)
    if all(fitting.kind in _WORKS for form in forms for fitting in form.fitted_as):
        return ()
    habit = value_of("habit", overrides)
    table = []
    for built in forms:
        sold = [float(_replaces(form, built)) for form in forms]
        whole = sum(sold)
        table.append([(habit * share / whole + (1.0 - habit) / count) if whole else 1.0 / count for share in sold])
    works = [at for at, form in enumerate(forms) if form.dates_a_car]
    for at in (at for at, form in enumerate(forms) if not form.dates_a_car):
        even = sum(table[built][at] for built in works) / max(len(works), 1)
        for row in table:
            others = sum(value for other, value in enumerate(row) if other != at)
            for other in range(count):
                row[other] = even if other == at else row[other] * (1.0 - even) / others if others else 0.0
    return tuple(rounded(row) for row in table)


def _replaces(form: Form, built: Form) -> bool:
    """Tell whether a form is fitted later, by the trade or the works, in place of the one built."""
    return any(
        fitting.kind not in _WORKS
        and (not fitting.in_place_of or built.id in fitting.in_place_of or form.id == built.id)
        for fitting in form.fitted_as
    )


def _own_mark(
    guide: Guide,
    kind: str,
    reach: Reach,
    forms: Sequence[ModelForm],
    mixes: Sequence[Mix],
    survives: float,
    ask: bool,
    split: Split | None = None,
    said: str = "",
) -> ModelMark:
    """Return a mark that the guide did not write as one: id and sentences are its split's, or named after its kind.

    ``said`` names the sentences where they are others.
    """
    words = load_words(guide.language)
    return ModelMark(
        id=split.id if split else kind,
        name=split.name if split else words.say(f"dating.{said or kind}.name"),
        area="",
        question=split.question or f"{split.name}?" if split else words.say(f"dating.{said or kind}.question"),
        look=split.look if split else words.say(f"dating.{said or kind}.look"),
        reach=str(reach),
        photographs=True,
        effort=float(value_of("effort_look", guide.overrides)),
        survives=survives,
        misread=value_of(f"{said or kind}_misread", guide.overrides),
        forms=tuple(forms),
        mixes=tuple(mixes),
        ask=ask,
        kind=kind,
    )


def _own_group(rows: Sequence[Sequence[Runs]]) -> ModelGroup:
    """Return the group of such a mark, given its run for each series and specification."""
    table = GroupTable((0,), lines=[[(run,) for run in row] for row in rows])
    return table.finished([[at] for at in range(len(rows[0]))])


def body_mark(guide: Guide, grid: Grid, classes: Sequence[Sequence[int]]) -> tuple[ModelMark, ModelGroup] | None:
    """Return the body as a mark, where the guide says how its series are told apart by eye, or has several models.

    Which model a car is has to be asked before all else, so a series of no such answer is asked for by its body.
    """
    models = len(guide.models) > 1
    series = [line.numbered.series if line.numbered is not None else None for line in grid.lines]
    asked = [
        ("" if one is None else one.asked_as or (upper_first(one.body) if models else ""), line)
        for one, line in zip(series, grid.lines, strict=True)
    ]
    first = dict(reversed(asked))
    different = {answer: at for at, answer in enumerate(dict.fromkeys(answer for answer, _ in asked))}
    if len(different) < 2 or "" in different:
        return None
    forms = [
        ModelForm(id=first[answer].id, name=guide.series[first[answer].id].body, answer=answer) for answer in different
    ]
    said = "model" if models else "body"
    mark = _own_mark(guide, "body", Reach.OUTSIDE, forms, range(len(forms)), survives=1.0, ask=True, said=said)
    return mark, _own_group([[run_of([(0, different[answer])])] * len(classes) for answer, _ in asked])


def split_marks(
    guide: Guide, grid: Grid, classes: Sequence[Sequence[int]], all_of: Sequence[Combination]
) -> list[tuple[ModelMark, ModelGroup]]:
    """Return the splits as marks. One is asked for by eye where it has a question and an answer for every value."""
    made = []
    survives = value_of("split_survives", guide.overrides)
    for split in guide.splits.values():
        values = list(split.values.values())
        if len(values) < 2:
            continue
        place = {value.id: at for at, value in enumerate(values)}
        forms = [
            ModelForm(id=one.id, name=upper_first(one.name), answer=one.asked_as or upper_first(one.name))
            for one in values
        ]
        ask = bool(split.question) and all(one.asked_as for one in values)
        row = [run_of([(0, place[dict(all_of[members[0]].splits)[split.id]])]) for members in classes]
        mark = _own_mark(guide, "split", Reach.GLASS, forms, range(len(forms)), survives, ask, split)
        made.append((mark, _own_group([row] * len(grid.lines))))
    return made


def interior_mark(
    guide: Guide,
    grid: Grid,
    classes: Sequence[Sequence[int]],
    all_of: Sequence[Combination],
    shares: Sequence[Sequence[Sequence[float]]],
) -> tuple[ModelMark, ModelGroup] | None:
    """Return the trim as a mark; it is asked only where every interior says how it is asked for."""
    interiors = list(guide.interiors.values())
    if len(interiors) < 2:
        return None
    index = {one.id: at for at, one in enumerate(interiors)}
    mixes = Mixes()
    rows = []
    for at, line in enumerate(grid.lines):
        row = []
        for members in classes:
            now: list[tuple[int, int]] = []
            for t, cars in enumerate(line.cars):
                built = [0.0] * len(interiors)
                for one in members:
                    built[index[all_of[one].interior or ""]] += shares[at][t][one]
                whole = sum(built)
                if cars > 0.0 and whole > 0.0:
                    now.append((t, mixes.index([value / whole for value in built])))
            certain = index[all_of[members[0]].interior or ""]
            now = now or [(0, mixes.index([float(other == certain) for other in range(len(interiors))]))]
            row.append(run_of(now))
        rows.append(row)
    forms = [ModelForm(id=one.id, name=one.name, answer=one.asked_as or one.name) for one in interiors]
    survives = value_of("interior_survives", guide.overrides)
    ask = all(one.asked_as for one in interiors)
    return _own_mark(guide, "interior", Reach.GLASS, forms, list(mixes.found), survives, ask), _own_group(rows)

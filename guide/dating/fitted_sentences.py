"""How it is said what the works can have fitted: the forms, each with the cars that alone can have it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from guide.dating.fitted import Cars, FittedForm, FittedMark
from guide.dating.model import Model
from guide.sentence import Value, chained, lower_first, one_of, one_of_names, sentence

__all__ = ["cars_said", "fitted_said", "only_said", "trims_of"]


def trims_of(model: Model, fitted: Sequence[FittedMark]) -> list[str]:
    """Return the interiors that a car can have, by what was worked out of it; all of them where none is told apart."""
    for one in fitted:
        mark = model.marks[one.mark]
        if mark.kind == "interior":
            return [mark.forms[form.form].id for form in one.forms]
    return [one.id for one in model.interiors]


def cars_said(model: Model, scopes: Sequence[Cars], trims: Sequence[str]) -> Value:
    """Return some kinds of car as inside a sentence, "left-hand drive"; empty for all. ``trims`` as `trims_of`."""
    said = [chained("words.then", _parts(model, cars, trims)) for cars in scopes if cars]
    return one_of(said) if said else ""


def _parts(model: Model, cars: Cars, trims: Sequence[str]) -> list[Value]:
    said: list[Value] = []
    for name, values in cars.items():
        if name == "series":
            said.append(one_of(lower_first(one.name) for one in model.series if one.id in values))
        elif name == "interior":
            said.append(_trim_said(model, values, trims))
        else:
            said.append(one_of(model.splits.get(name, {}).get(value, value) for value in values))
    return said


def _trim_said(model: Model, values: Sequence[str], trims: Sequence[str]) -> Value:
    """Return interiors by what they are made of where that decides, else by their colour, else by name."""
    for told in ({one.id: one.material for one in model.interiors}, {one.id: one.colour for one in model.interiors}):
        meant = {told[one] for one in values}
        if "" not in meant and not any(told.get(one) in meant for one in trims if one not in values):
            return sentence(
                "dating.fitted.trim",
                what=one_of(lower_first(one) for one in dict.fromkeys(map(told.__getitem__, values))),
            )
    names: Mapping[str, str] = {one.id: one.name for one in model.interiors}
    return one_of(lower_first(names[one]) for one in values)


def only_said(model: Model, form: FittedForm, trims: Sequence[str]) -> Value:
    """Return the cars that alone can have a form, "leather trim only"; empty where all can."""
    cars = cars_said(model, _scopes(form), trims)
    return sentence("dating.fitted.only", cars=cars) if cars else ""


def _scopes(form: FittedForm) -> list[Cars]:
    return [scope.cars for scope in form.scopes]


def fitted_said(model: Model, one: FittedMark, trims: Sequence[str]) -> Value:
    """Return what a car should have in a few words: what any such car can have, then what only some can.

    Where each form is for some cars, each is said with its own: "crackle finish (vinyl trim); veneer (leather trim)".
    """
    mark = model.marks[one.mark]
    forms = mark.forms
    said: list[Value] = []
    if len(one.forms) == 1:
        form = forms[one.forms[0].form]
        said = [form.name if mark.kind == "interior" else form.answer]
    else:
        whole = [each for each in one.forms if not each.scopes[0].cars]
        if whole:
            said = [one_of_names(forms[each.form].name for each in whole)]
        for each in (each for each in one.forms if each not in whole):
            name = forms[each.form].name
            cars = only_said(model, each, trims) if whole else cars_said(model, _scopes(each), trims)
            said.append(sentence("dating.fitted.some", form=lower_first(name) if said else name, cars=cars))
    told = chained("words.then_after_stop", said)
    return told if one.sure else sentence("dating.fitted.probably", forms=lower_first(told))

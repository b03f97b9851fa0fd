"""What is concluded of a car as output has it: the object that ``ask --json`` prints, and what a screen adds to it.

Sentences stand in both as data (`guide.sentence`); whoever prints them makes words of them. The browser's twin says
them at once, and gives the first, whose `HEAD` a screen sets large, in pieces too; tests/twins holds the two together.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from guide.dating.apart_sentences import groups_apart, verdict_said, verdicts
from guide.dating.belief.apart import Apart
from guide.dating.belief.look import Look, expected_length
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.result import dates_of, day_of
from guide.dating.dated import Dated
from guide.dating.doubts import doubts
from guide.dating.fitted import FittedMark
from guide.dating.result_sentences import result_sentences, why
from guide.sentence import duration, in_turn, sentence

if TYPE_CHECKING:
    from guide.dating.building.behind import Reasons

__all__ = ["as_output", "explained"]

_TOLD_ELSEWHERE = ("renewed-together", "paper-alone", "number-alone")  # by what stands apart, and by the reasons
_OF_SPANS = ("dating.nine", "dating.halves", "dating.halves_there")


def as_output(dated: Dated, reasons: Reasons | None = None) -> dict[str, Any]:
    """Return the whole result for one car, as ``ask --json`` prints it but for its sentences.

    ``reasons`` are the statements that stand behind what the car should have; without them none are told.
    """
    prepared, figures, look = dated.prepared, dated.figures, dated.next
    model = prepared.model
    return {
        "format": 1,
        "edition": model.edition,
        "car": dated.number.written if dated.number else dated.session.car or None,
        "reach": list(dated.session.reach),
        "answers": [
            {"mark": answer.mark, "forms": list(answer.forms), "kind": answer.kind} for _, answer in dated.state.answers
        ],
        "result": {
            "spans": [
                {"level": level, "weight": stretch.weight, **_from_to(*dates_of(prepared, stretch))}
                for level, stretch in figures.spans
            ],
            "words": in_turn(result_sentences(dated)),
        },
        "periods": _named(model.periods, figures.periods),
        "interiors": _named(model.interiors, figures.interiors),
        "specifications": [{"splits": splits, "chance": chance} for splits, chance in figures.specifications],
        "numbers": [
            {"series": model.series[one.series].id, "from": one.first, "to": one.last, "chance": one.chance}
            for one in figures.numbers
        ],
        "apart": [_apart(prepared, one) for one in dated.apart],
        "next": None if look is None else _next(dated, look),
        "stopped": {"code": dated.stopped, "words": sentence(f"dating.stopped.{dated.stopped}")}
        if dated.stopped
        else None,
        "should_have": [_should_have(prepared, one, reasons or {}) for one in dated.fitted],
        "doubts": [{"code": one.code, "chance": one.chance, "words": one.words} for one in doubts(dated)],
    }


def _should_have(prepared: Prepared, one: FittedMark, reasons: Reasons) -> dict[str, Any]:
    mark = prepared.model.marks[one.mark]

    def steps(form: str, behind: Sequence[int]) -> list[dict[str, Any]]:
        entries = reasons.get((mark.id, form), ())
        return [step.output() for at in behind if at < len(entries) for step in entries[at]]

    return {
        "mark": mark.id,
        "only": [_cars(cars) for cars in one.only],
        "sure": one.sure,
        "forms": [
            {
                "form": mark.forms[form.form].id,
                "scope": _cars(scope.cars),
                "because": steps(mark.forms[form.form].id, scope.behind),
            }
            for form in one.forms
            for scope in form.scopes
        ],
    }


def _cars(cars: Mapping[str, tuple[str, ...]]) -> dict[str, list[str]]:
    return {name: list(values) for name, values in cars.items()}


def _from_to(first: date, last: date) -> dict[str, str]:
    return {"from": first.isoformat(), "to": last.isoformat()}


def _named(things: Iterable[Any], chances: Iterable[float]) -> list[dict[str, Any]]:
    return [
        {"id": thing.id, "name": thing.name, "chance": chance} for thing, chance in zip(things, chances, strict=False)
    ]


def _apart(prepared: Prepared, one: Apart) -> dict[str, Any]:
    mark, edges = prepared.model.marks[one.mark], prepared.model.edges
    days = None if one.looks is None else (edges[one.looks[0]], edges[one.looks[1] + 1] - 1)
    return {
        "mark": mark.id,
        "found": one.answer.value,
        "chance": one.chance,
        "replaced": one.replaced,
        "misread": one.misread,
        "expected": [
            {"form": form.id, "chance": chance} for form, chance in zip(mark.forms, one.expected, strict=True)
        ],
        "looks": None if days is None else _from_to(*(day_of(prepared, day) for day in days)),
    }


def _next(dated: Dated, look: Look) -> dict[str, Any]:
    mark = dated.prepared.model.marks[look.mark]
    return {
        "mark": mark.id,
        "question": mark.question,
        "reach": look.reach,
        "answers": [{"form": form.id, "answer": form.answer} for form in mark.forms],
        "gain_bits": look.gain_bits,
        "effort": look.effort,
        "why": why(dated, look),
    }


def explained(dated: Dated) -> dict[str, Any]:
    """Return the sentences of the result, which of them stands beneath the bar of the spans, those that cast doubt on
    it, the best look within reach and beyond it, each answer's verdict, and what stands apart, said once for things
    renewed together."""
    marks, beyond = dated.prepared.model.marks, dated.beyond
    said = [one.words for one in doubts(dated) if one.code not in _TOLD_ELSEWHERE]
    sentences = result_sentences(dated)
    return {
        "sentences": sentences + said,
        "bar": next((one for one in sentences if one.id in _OF_SPANS), None),
        "doubts": said,
        "next": None if dated.within is None else _best(dated, dated.within, "dating.best_next"),
        "beyond": None if beyond is None else _best(dated, beyond, f"dating.beyond.{beyond.reach}"),
        "answers": [
            {"mark": marks[one.mark].id, "says": verdict_said(dated, one, verdict)} for one, verdict in verdicts(dated)
        ],
        "apart_groups": groups_apart(dated),
    }


def _best(dated: Dated, look: Look, name: str) -> dict[str, Any]:
    """Return where to look next and from where, in words too, and how far it would bring the span down, if at all."""
    mark, after = dated.prepared.model.marks[look.mark], expected_length(dated.state, look)
    shorter = after <= dated.prepared.model.telling.shorter * dated.figures.length
    return {
        "mark": mark.id,
        "reach": look.reach,
        "says": sentence(name, part=mark.name),
        "after": sentence("dating.bring_down", length=duration(after)) if shorter else None,
    }

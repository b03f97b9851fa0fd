"""What the screen says beside the figures: each answer in words, what stands apart, and what to look at next.

Of a mark that stands apart, never of a car; a part that differs is a question to ask, not a fault. Marks of
one set that all look later are named once, and so are several later ones in one area.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from guide.dating.belief.ahead import choose_ahead
from guide.dating.belief.apart import Apart, stands_apart
from guide.dating.belief.evidence import tells
from guide.dating.belief.look import Look, choose, expected_length, looks
from guide.dating.belief.number import Numbered, factor_of_number
from guide.dating.belief.result import Concluded, conclude_figures, day_of
from guide.dating.belief.span import days_between
from guide.dating.belief.state import State
from guide.dating.words import say_result
from guide.words.say import Words

__all__ = ["APART_FROM", "explained"]

APART_FROM = 0.5  # a mark is said to stand apart when that is at least as likely as not
SHORTER = 0.9  # a look's expected span is said where it is that much shorter than now


@dataclass(frozen=True, slots=True)
class _Said:
    """One answered mark with its verdict: ``expected``, ``later``, ``earlier``, ``copy``, ``spare``,
    ``not-works``, ``misread``, ``other``, ``changed``, ``none`` or ``cannot-tell``."""

    one: Apart
    verdict: str


def explained(state: State, words: Words) -> dict[str, Any]:
    """Return the sentences of the result, the next look, the best look beyond the reach, and every answer."""
    concluded = conclude_figures(state)
    by_mark = {one.mark: one for one in stands_apart(state)}
    said = [_Said(by_mark[mark], _verdict(state, concluded, by_mark[mark])) for mark, _ in state.answers]
    groups = _groups(state, said, words)
    sentences = say_result(state, concluded, words)
    if sum(1 for level, _ in concluded.spans if level == 0.9) > 1:
        number = isinstance(state.car, Numbered)
        sentences.append(words.say("dating.two_dates_number" if number else "dating.two_dates"))
    wrong = chance_of_wrong_number(state)
    if wrong is not None and wrong > APART_FROM and isinstance(state.car, Numbered):
        sentences.append(words.say("dating.number_apart", number=state.car.written))
    inside, beyond = _onward(state)
    marks = state.prepared.model.marks
    return {
        "sentences": sentences,
        "next": None if inside is None else _best(state, concluded, inside, "dating.best_next", words),
        "beyond": None if beyond is None else _best(state, concluded, beyond, f"dating.beyond.{beyond.reach}", words),
        "beyond_look": None
        if beyond is None
        else {
            "mark": marks[beyond.mark].id,
            "reach": beyond.reach,
            "gain_bits": beyond.gain_bits,
            "effort": beyond.effort,
        },
        "answers": [
            {"mark": marks[each.one.mark].id, "says": words.say(f"dating.verdict.{each.verdict}")} for each in said
        ],
        "apart_groups": groups,
    }


def _onward(state: State) -> tuple[Look | None, Look | None]:
    """Return the best look within reach, and the best beyond it where that would tell more."""
    found = looks(state)
    least = state.prepared.model.stop.gain_bits
    inside = choose_ahead(state, [one for one in found if one.within and one.gain_bits >= least])
    outside = choose([one for one in found if not one.within], least)
    if inside is not None and outside is not None and outside.gain_bits <= inside.gain_bits + 1e-9:
        outside = None
    return inside, outside


def chance_of_wrong_number(state: State) -> float | None:
    """Return the chance that the number is not the car's own, or None where none was read."""
    if not isinstance(state.car, Numbered):
        return None
    model = state.prepared.model
    wrong = model.chances.number_wrong / sum(sum(series.cars) for series in model.series)
    factors = factor_of_number(state.prepared, state.car)
    return sum(w * wrong / f for w, f in zip(state.weights, factors, strict=True) if w > 0.0)


def _best(state: State, concluded: Concluded, look: Look, sentence: str, words: Words) -> str:
    """Return where to look next, and how far that would bring the span down, where it would."""
    said = words.say(sentence, part=state.prepared.model.marks[look.mark].name)
    nine = [stretch for level, stretch in concluded.spans if level == 0.9]
    after = expected_length(state, look)
    if after > SHORTER * (nine[-1].end - nine[0].start):
        return said
    return f"{said} {words.say('dating.bring_down', length=words.duration(after))}"


def _verdict(state: State, concluded: Concluded, one: Apart) -> str:
    if not tells(one.answer):
        return one.answer.kind
    if one.chance < APART_FROM:
        return "expected"
    forms = [form for form in state.prepared.model.marks[one.mark].forms if form.id in one.answer.forms]
    if not any(form.factory for form in forms):
        kinds = {form.kind for form in forms}
        return "copy" if kinds == {"reproduction"} else "spare" if kinds == {"service part"} else "not-works"
    if one.misread > one.replaced:
        return "misread"
    first, last = _nine_in_ten(concluded)
    edges = state.prepared.model.edges
    if one.looks is not None and edges[one.looks[0]] > last:
        return "later"
    if one.looks is not None and edges[one.looks[1] + 1] <= first:
        return "earlier"
    return "other"


def _nine_in_ten(concluded: Concluded) -> tuple[int, int]:
    """Return the first and last day of the nine in ten, counted from the origin."""
    nine = [days_between(stretch) for level, stretch in concluded.spans if level == 0.9]
    return nine[0][0], nine[-1][1]


def _groups(state: State, said: list[_Said], words: Words) -> list[dict[str, Any]]:
    """Return what stands apart, in the order of the answers, gathered where one sentence does for several."""
    model = state.prepared.model
    apart = [each for each in said if each.verdict not in ("expected", "cannot-tell")]
    gathered: dict[tuple[str, int], list[_Said]] = {}
    for each in apart:
        renewed = state.prepared.set_of[each.one.mark]
        if each.verdict in ("later", "earlier", "other") and renewed is not None:
            key = ("set", renewed)
        elif each.verdict == "later":
            area = next((at for at, one in enumerate(model.areas) if one.id == model.marks[each.one.mark].area), -1)
            key = ("area", area)
        else:
            key = ("mark", each.one.mark)
        gathered.setdefault(key, []).append(each)
    return [
        {"marks": [model.marks[each.one.mark].id for each in members], "says": _say_group(state, key, members, words)}
        for key, members in gathered.items()
    ]


def _say_group(state: State, key: tuple[str, int], members: list[_Said], words: Words) -> str:
    model = state.prepared.model
    if len(members) == 1:
        return _say_one(state, members[0], words)
    parts = words.all_of(model.marks[each.one.mark].name for each in members)
    if key[0] == "set":
        return words.say("dating.apart.set", parts=parts, job=model.sets[key[1]].name)
    return words.say("dating.apart.area", parts=parts)


def _say_one(state: State, each: _Said, words: Words) -> str:
    mark = state.prepared.model.marks[each.one.mark]
    slots: dict[str, str | int] = {"part": mark.name}
    verdict = each.verdict
    if verdict == "later" and each.one.looks is not None:
        edge = state.prepared.model.edges[each.one.looks[0]]
        slots["month"] = words.month_year(day_of(state.prepared, edge))
    if verdict == "spare":
        since = [form.since for form in mark.forms if form.id in each.one.answer.forms and form.since is not None]
        if since:
            return words.say("dating.apart.spare_since", part=mark.name, year=str(min(since)))
    return words.say(f"dating.apart.{verdict}", **slots)

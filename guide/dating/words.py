"""The result in sentences, each said whole and tied to a stated chance (words.py's degrees).

The degree "very probably" goes with the span that holds nine cars in ten; the other degrees go with the chance
of the period whose time the sentence names.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from guide.dating.belief.look import Look, entropy
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.result import Concluded, day_of
from guide.dating.belief.span import days_between
from guide.dating.belief.state import State
from guide.words.say import SURENESS, Words

__all__ = ["period_days", "say_next", "say_result", "say_stopped"]

_MENTION = 0.1  # another period is named beside the first from this chance up
_IN_DAYS = 62  # a span shorter than this is said in days, not in months


def period_days(prepared: Prepared, period: int) -> tuple[date, date]:
    """Return a period's first and last day."""
    one, edges = prepared.model.periods[period], prepared.model.edges
    return day_of(prepared, edges[one.first]), day_of(prepared, edges[one.end] - 1)


def _dates(prepared: Prepared, concluded: Concluded, level: float) -> list[tuple[date, date]]:
    found = [days_between(stretch) for of, stretch in concluded.spans if of == level]
    return [(day_of(prepared, first), day_of(prepared, last)) for first, last in found]


def say_result(state: State, concluded: Concluded, words: Words) -> list[str]:
    """Return the sentences of the result, the main one first.

    The main one is the most telling that is true: the span of nine in ten where that is no longer than the
    likeliest period, else the period with its degree. The period is named in a sentence of its own.
    """
    prepared = state.prepared
    nine, half = _dates(prepared, concluded, 0.9), _dates(prepared, concluded, 0.5)
    chances = concluded.periods[:-1]
    order = sorted(range(len(chances)), key=lambda at: (-round(chances[at] * 1e7), at))
    top = chances[order[0]] if order else 0.0
    span = words.span(*period_days(prepared, order[0])) if order else ""
    in_days = (nine[-1][1] - nine[0][0]).days < _IN_DAYS
    either, half_of = _span(words, nine, in_days=in_days), _span(words, half, in_days=in_days)
    halves = [
        words.say("dating.halves", span=either, half=half_of)
        if half_of != either
        else words.say("dating.nine", span=either)
    ]
    there = [] if half_of == either else [words.say("dating.halves_there", half=half_of)]
    if _close(prepared, concluded, order):
        sentences = [words.say("dating.very_probably", span=either), *_periods(words, prepared, chances, order), *there]
    elif top >= 0.66:
        sentences = [words.say("dating.probably", span=span), _period(words, prepared, order[0], "is"), *halves]
    elif top >= 0.33:
        others = _stretches(prepared, [at for at in order[1:] if chances[at] >= _MENTION] or order[1:2])
        sentences = [
            words.say("dating.may_well", span=span, other=words.one_of(words.range(*one) for one in others)),
            _period(words, prepared, order[0], "likeliest"),
            *halves,
        ]
    else:
        first, last = nine[0][0], nine[-1][1]
        return [words.say("dating.not_enough", span=words.range(first, last))]
    return [said for said in sentences if said] + _numbers(state, concluded, words)


def _period(words: Words, prepared: Prepared, period: int, how: str) -> str:
    """Return the sentence that names a period and its place among them; nothing where there is only one."""
    periods = prepared.model.periods
    if len(periods) < 2:
        return ""
    return words.say(
        f"dating.period.{how}",
        period=periods[period].name,
        ordinal=words.ordinal(period + 1),
        of=words.count(len(periods)),
    )


def _periods(words: Words, prepared: Prepared, chances: Sequence[float], order: Sequence[int]) -> list[str]:
    """Return what a span says of the period: which it is and how surely, or which it may be."""
    if not order:
        return []
    degree = next(word for word, least in SURENESS if chances[order[0]] >= least)
    if degree in ("almost_certainly", "very_probably", "probably"):
        return [_period(words, prepared, order[0], degree)]
    likely = sorted([at for at in order if chances[at] >= _MENTION] or order[:1])
    named = [words.say("dating.period.name", period=prepared.model.periods[at].name) for at in likely]
    return [words.say("dating.period.either", periods=words.one_of(named))]


def _close(prepared: Prepared, concluded: Concluded, order: Sequence[int]) -> bool:
    """Tell whether nine in ten lie within a time no longer than the likeliest period, or as fine as the guide wants."""
    nine = [stretch for level, stretch in concluded.spans if level == 0.9]
    length, model = nine[-1].end - nine[0].start, prepared.model
    longest = float(model.stop.fine_days)
    if order:
        one = model.periods[order[0]]
        longest = max(longest, float(model.edges[one.end] - model.edges[one.first]))
    return length <= longest + 1e-6


def _stretches(prepared: Prepared, periods: list[int]) -> list[tuple[date, date]]:
    """Return the first and last day of each stretch of neighbouring periods, in order of time."""
    found: list[tuple[date, date]] = []
    at_last = -2
    for at in sorted(periods):
        days = period_days(prepared, at)
        if at == at_last + 1:
            found[-1] = (found[-1][0], days[1])
        else:
            found.append(days)
        at_last = at
    return found


def _span(words: Words, parts: list[tuple[date, date]], *, in_days: bool) -> str:
    said = [words.day_span(*part) if in_days else words.span(*part) for part in parts]
    return said[0] if len(said) == 1 else words.say("dating.either", one=said[0], other=said[1])


def _numbers(state: State, concluded: Concluded, words: Words) -> list[str]:
    if state.car is not None:
        return []
    model = state.prepared.model
    likely = [one for one in concluded.numbers if one.chance >= _MENTION]
    if len(likely) == 1:
        return [words.say("dating.number", first=likely[0].first, last=likely[0].last)]
    return [
        words.say("dating.number_of", body=model.series[one.series].name, first=one.first, last=one.last)
        for one in likely
    ]


def say_next(state: State, concluded: Concluded, look: Look, words: Words) -> str:
    """Return why a look is asked for: the two periods that it tells apart best, by what is believed now."""
    prepared = state.prepared
    chances = concluded.periods
    best: tuple[float, int, int] | None = None
    for one in range(len(chances) - 1):
        for other in range(one + 1, len(chances) - 1):
            told = _told(look, one, other)
            if best is None or told > best[0] + 1e-9:
                best = (told, one, other)
    if best is None or best[0] <= 0.0:
        return words.say("dating.why_any")
    first, second = (words.range(*period_days(prepared, period)) for period in best[1:])
    if first == second:  # the spans are said in whole months, and both periods lie in the same
        first, second = (prepared.model.periods[period].name for period in best[1:])
        return words.say("dating.why_named", one=first, other=second)
    return words.say("dating.why", one=first, other=second)


def _told(look: Look, one: int, other: int) -> float:
    """Return the bits that a look tells about which of two periods it is, times the chance of either."""
    both = [(sums[one], sums[other]) for sums in look.joint]
    totals = (sum(pair[0] for pair in both), sum(pair[1] for pair in both))
    return sum(totals) * entropy(totals) - sum(sum(pair) * entropy(pair) for pair in both)


def say_stopped(code: str, words: Words) -> str:
    """Return why the key asks nothing more."""
    return words.say(f"dating.stopped.{code}")

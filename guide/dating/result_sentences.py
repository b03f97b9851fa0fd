"""The result in sentences, each whole and tied to a stated chance (the degrees of `guide.words.say`).

The degree "very probably" goes with the span that holds nine cars in ten; the other degrees go with the chance
of the period whose time the sentence names.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import combinations

from guide.dating.belief.look import Look, entropy
from guide.dating.belief.number import days_allowed
from guide.dating.belief.prepare import Prepared
from guide.dating.belief.result import dates_of, day_of
from guide.dating.dated import Dated
from guide.sentence import Sentence, Value, count, day_span, marked, month_range, month_span, one_of, ordinal, sentence

__all__ = ["HEAD", "nine_said", "period_named", "period_said", "result_sentences", "spans_said", "why"]

HEAD = (
    "head"  # the mark of what the first sentence is about, from the first to the last so marked set large on a screen
)

Days = tuple[date, date]

_DATED = ("almost_certainly", "very_probably", "probably")  # degrees that name a period whose time is not yet said


def result_sentences(dated: Dated) -> list[Sentence]:
    """Return the sentences of the result, the main one first.

    The main one is the most telling that is true: the span of nine in ten where that is no longer than the
    likeliest period, else the period with its degree. The period is named in a sentence of its own.
    """
    prepared, figures, telling = dated.prepared, dated.figures, dated.prepared.model.telling
    nine, half = ([dates_of(prepared, stretch) for stretch in figures.at(level)] for level in telling.spans)
    chances = figures.periods[:-1]
    order = sorted(range(len(chances)), key=lambda at: (-round(chances[at] * 1e7), at))
    top = chances[order[0]] if order else 0.0
    in_days = _in_days(dated, nine)
    span, half_of = _span(nine, in_days=in_days), _span(half, in_days=in_days)
    if _is_close(dated, order):
        there = [] if half_of == span else [sentence("dating.halves_there", half=half_of)]
        name = "dating.probably" if dated.paced else "dating.very_probably"
        head = sentence(name, span=marked(HEAD, span))
        return [head, *_by_pace(dated, in_days=in_days), *_periods(prepared, chances, order), *there, *_numbers(dated)]
    if top < telling.sureness["may_well"]:
        return [sentence("dating.not_enough", span=month_range(nine[0][0], nine[-1][1]))]
    halves = (
        sentence("dating.nine", span=span) if half_of == span else sentence("dating.halves", span=span, half=half_of)
    )
    period = marked(HEAD, month_span(*_period_days(prepared, order[0])))
    if top >= telling.sureness["probably"]:
        head, how = sentence("dating.probably", span=period), "is"
    else:
        others = _stretches(prepared, [at for at in order[1:] if chances[at] >= telling.mention] or order[1:2])
        other = marked(HEAD, one_of(month_range(*days) for days in others))
        head, how = sentence("dating.may_well", span=period, other=other), "likeliest"
    return [head, *_period(prepared, order[0], how), halves, *_by_pace(dated, in_days=in_days), *_numbers(dated)]


def nine_said(dated: Dated) -> Value:
    """Return the span of nine in ten as inside a sentence, in days where it is short."""
    return spans_said(dated, [dates_of(dated.prepared, stretch) for stretch in dated.figures.nine])


def spans_said(dated: Dated, spans: Sequence[Days]) -> Value:
    """Return one span, or two of which either may be, as inside a sentence, in days where they are short."""
    return _span(spans, in_days=_in_days(dated, spans))


def _in_days(dated: Dated, nine: Sequence[Days]) -> bool:
    return (nine[-1][1] - nine[0][0]).days < dated.prepared.model.telling.in_days


def _by_pace(dated: Dated, *, in_days: bool) -> list[Sentence]:
    """Return what the papers alone say of the number, where only an even pace of building says more."""
    allowed = days_allowed(dated.prepared, dated.number) if dated.number and dated.paced else None
    if allowed is None:
        return []
    first, last = (day_of(dated.prepared, day) for day in allowed)
    return [sentence("dating.by_pace", span=_span([(first, last)], in_days=in_days))]


def _period_days(prepared: Prepared, period: int) -> Days:
    """Return a period's first and last day."""
    one, edges = prepared.model.periods[period], prepared.model.edges
    return day_of(prepared, edges[one.first]), day_of(prepared, edges[one.end] - 1)


def _in_months(days: Days) -> Days:
    """Return days as they are said in whole months: two spans in the same months are the same."""
    return days[0].replace(day=1), days[1].replace(day=1)


def _period(prepared: Prepared, period: int, how: str) -> list[Sentence]:
    """Return the sentence that names a period and its place among those of its model; none where it is the only one."""
    periods = prepared.model.periods
    model = [at for at, one in enumerate(periods) if set(one.series) & set(periods[period].series)] or [
        at for at, one in enumerate(periods) if not one.series
    ]
    if len(model) < 2:
        return []
    place = {"ordinal": ordinal(model.index(period) + 1), "of": count(len(model))}
    return [sentence(f"dating.period.{how}", period=period_named(prepared, period, dated=how != "is"), **place)]


def period_named(prepared: Prepared, period: int, *, dated: bool = True) -> Sentence:
    """Return a period's name, with its months where the sentence before has not said them."""
    name = prepared.model.periods[period].name
    return period_said(name, _period_days(prepared, period)) if dated else sentence("dating.period.name", period=name)


def period_said(name: str, days: Days) -> Sentence:
    """Return a period's name with its months; a year says them itself."""
    if name.isdecimal():
        return sentence("dating.period.name", period=name)
    return sentence("dating.period.dated", period=name, span=month_range(*_in_months(days)))


def _periods(prepared: Prepared, chances: Sequence[float], order: Sequence[int]) -> list[Sentence]:
    """Return what a span says of the period: which it is and how surely, or which it may be."""
    if not order:
        return []
    telling = prepared.model.telling
    degree = next(word for word, least in telling.sureness.items() if chances[order[0]] >= least)
    if degree in _DATED:
        return _period(prepared, order[0], degree)
    likely = sorted([at for at in order if chances[at] >= telling.mention] or order[:1])
    named = [period_named(prepared, at) for at in likely]
    return [sentence("dating.period.either", periods=one_of(named))]


def _is_close(dated: Dated, order: Sequence[int]) -> bool:
    """Tell whether nine in ten lie within a time no longer than the likeliest period, or as fine as the guide wants."""
    model = dated.prepared.model
    longest = float(model.stop.fine_days)
    if order:
        one = model.periods[order[0]]
        longest = max(longest, float(model.edges[one.end] - model.edges[one.first]))
    return dated.figures.length <= longest + 1e-6


def _stretches(prepared: Prepared, periods: list[int]) -> list[Days]:
    """Return the first and last day of each stretch of neighbouring periods of one model, in order of time."""
    found: list[Days] = []
    at_last = -2
    for at in sorted(periods):
        days = _period_days(prepared, at)
        if at == at_last + 1 and prepared.model.periods[at].series == prepared.model.periods[at_last].series:
            found[-1] = (found[-1][0], days[1])
        else:
            found.append(days)
        at_last = at
    return found


def _span(parts: Sequence[Days], *, in_days: bool) -> Value:
    said = [day_span(*part) if in_days else month_span(*_in_months(part)) for part in parts]
    return said[0] if len(said) == 1 else sentence("dating.either", one=said[0], other=said[1])


def _numbers(dated: Dated) -> list[Sentence]:
    if dated.state.car is not None:
        return []
    likely = [one for one in dated.figures.numbers if one.chance >= dated.prepared.model.telling.mention]
    if len(likely) == 1:
        return [sentence("dating.number", first=likely[0].first, last=likely[0].last)]
    series = dated.prepared.model.series
    return [
        sentence("dating.number_of", body=series[one.series].name, first=one.first, last=one.last) for one in likely
    ]


def why(dated: Dated, look: Look) -> Sentence:
    """Return why a look is asked for: the two periods that it tells apart best, by what is believed now."""
    prepared = dated.prepared
    best: tuple[float, int, int] | None = None
    for one, other in combinations(range(len(dated.figures.periods) - 1), 2):
        told = _told(look, one, other)
        if best is None or told > best[0] + 1e-9:
            best = (told, one, other)
    if best is None or best[0] <= 0.0:
        return sentence("dating.why_any")
    first, second = (month_range(*_in_months(_period_days(prepared, period))) for period in best[1:])
    models = {prepared.model.periods[period].series for period in best[1:]}
    if first == second or len(models) > 1:  # spans are said in whole months, and tell no model from another
        one_said, other_said = (period_named(prepared, period) for period in best[1:])
        return sentence("dating.why", one=one_said, other=other_said)
    return sentence("dating.why", one=first, other=second)


def _told(look: Look, one: int, other: int) -> float:
    """Return the bits that a look tells about which of two periods it is, times the chance of either."""
    both = [(sums[one], sums[other]) for sums in look.joint]
    totals = (sum(pair[0] for pair in both), sum(pair[1] for pair in both))
    return sum(totals) * entropy(totals) - sum(sum(pair) * entropy(pair) for pair in both)

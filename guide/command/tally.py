"""`build.py tally`: what the cars seen come to, for the editor alone: with file, line and full number."""

from __future__ import annotations

from datetime import date
from typing import Any

from guide.command.calls import Call, CallIsOff
from guide.command.check import summary
from guide.command.window import say
from guide.command.work import work_out
from guide.finding import Place, errors_in
from guide.limits.edges import limits_json
from guide.limits.offered import untimely_cars
from guide.tally.changeovers import Changeover, Placed
from guide.tally.count import Tally, derive_tally
from guide.tally.report import EDITOR, name_of_car, range_said, report
from guide.tally.suggest import Effect, paste_of_survival
from guide.words.say import Words

__all__ = ["run", "tally_json"]


def run(call: Call) -> int:
    """Print what the cars seen come to, what contradicts the facts first; return 1 where the facts cannot be used."""
    words, out = call.words, call.printed
    worked = work_out(call.content, language=call.language)
    if worked.usable is None:
        if call.as_json:
            call.print_json({"error": words.tell(CallIsOff.of("ask.guide-unread", folder=str(call.content)).says)})
        else:
            call.print_findings(errors_in(worked.findings))
            say(summary(worked.findings, words), out)
        return 1
    _, limits, key = worked.usable
    tally = derive_tally(limits, key)
    if call.as_json:
        call.print_json(tally_json(tally, words))
        return 0
    call.say("tally.says", n=tally.cars, records=sum(len(one.car.looks) for one in tally.known))
    for section in report(tally, EDITOR, tally.effects):
        say(f"\n{words.tell(section.title)}\n{words.tell(section.lead)}", out)
        for line in section.lines:
            say(f"\n  {words.tell(line.says)}", out)
            for place in line.places:
                print(f"    {place}", file=out)
            for part in line.paste.splitlines():
                print(f"      {part}", file=out)
    return 0


def tally_json(tally: Tally, words: Words) -> dict[str, Any]:
    """Return the tally as the page on output has it; numbers whole, lists in the order of the guide."""
    marks = tally.marks.values()
    cars = [known.car for known in tally.known]
    return {
        "format": 1,
        "edition": tally.limits.moments.guide.edition,
        "cars": tally.cars,
        "records": sum(len(car.looks) + len(car.repeats) for car in cars),
        "repeated": [
            {"car": name_of_car(car), "files": [_place(place) for pair in car.repeats for place in reversed(pair)]}
            for car in cars
            if car.repeats
        ],
        "disagree": [
            {
                "car": name_of_car(car),
                "mark": told.mark,
                "answers": [{"form": one.answer, **_place(one.place)} for one in told.answers],
            }
            for car in cars
            for told in car.disagreements
        ],
        "contradict": [
            {
                "car": name_of_car(misfit.car),
                "mark": one.mark,
                "form": one.statement.form,
                "axis": str(one.axis),
                "claim": _place(one.statement.place),
                "cars": [_place(misfit.report.place)],
            }
            for one in tally.limits.contradicted
            for misfit in one.misfits
        ],
        "untimely": [
            {
                "car": name_of_car(shown.car),
                "mark": one.mark,
                "form": one.form,
                "way": one.way,
                "offer": _place(one.place),
                "cars": [_place(shown.report.place)],
            }
            for one in untimely_cars(tally.limits)
            for shown in one.cars
        ],
        "changeovers": [_changeover(tally, one) for told in marks for one in told.changeovers],
        "survival": [
            {
                "mark": one.mark,
                "period": one.period or None,
                "own": one.own,
                "of": one.of,
                "low": one.low,
                "high": one.high,
                "guide_says": one.guide_says,
            }
            for told in tally.survival.values()
            for one in told
        ],
        "series": [
            {
                "series": one.series,
                "seen": one.seen,
                "highest": one.highest,
                "estimate": one.built.estimate,
                "low": one.built.low,
                "high": one.built.high,
                "stated": one.stated,
            }
            for one in tally.series
        ],
        "suggested": [*(_suggested(tally, one, words) for one in tally.effects), *_survival_suggested(tally)],
        "unexplained": [
            {"cars": [_place(car.place) for car in one.cars], "forms": dict(one.forms), "chance": one.chance}
            for one in tally.alike
        ],
        "look_for": [
            {
                "series": one.series,
                **dict(zip(("from", "to"), range_said(tally, one), strict=True)),
                "marks": list(one.marks),
                "narrows_days": one.days,
            }
            for one in tally.look_for
        ],
    }


def _place(place: Place) -> dict[str, Any]:
    return {"file": place.file, "line": place.line}


def _changeover(tally: Tally, one: Changeover) -> dict[str, Any]:
    def at(place: int) -> str:
        if not one.series:
            return date.fromordinal(place).isoformat()
        return tally.limits.moments.every[one.series].car_at(place).written

    def end(placed: Placed | None) -> dict[str, Any] | None:
        if placed is None:
            return None
        return {"car": name_of_car(placed.found.known.car), **_place(placed.found.report.place)}

    best = one.best
    axis = "number" if one.series else "date"
    return {
        "mark": one.mark,
        "from": one.old,
        "to": one.new,
        "scope": one.scope.as_dict(),
        "earliest_new": end(one.earliest_new),
        "latest_old": end(one.latest_old),
        "best": None if best is None else {axis: at(best.place), "low": at(best.low), "high": at(best.high)},
        "follows": one.follows,
    }


def _suggested(tally: Tally, effect: Effect, words: Words) -> dict[str, Any]:
    one = effect.suggestion
    before, after = (limits_json(tally.limits, words, [spell])[0] for spell in (effect.before, effect.after))
    return {
        "mark": one.mark,
        "form": one.form,
        "file": one.at.line.file,
        "line": one.at.line.line,
        "paste": one.paste,
        "before": before,
        "after": after,
    }


def _survival_suggested(tally: Tally) -> list[dict[str, Any]]:
    marks = tally.limits.moments.guide.marks
    return [
        {
            "mark": one.mark,
            "form": None,
            "file": marks[one.mark].place.file,
            "line": marks[one.mark].place.line,
            "paste": paste_of_survival(one),
            "before": None,
            "after": None,
        }
        for one in tally.survives_otherwise
    ]

"""What is said of one car in letters about it, each thing in one place: sentence by sentence, with whose word it is.

All of it is worked out and worded elsewhere: the result (`guide.dating.output.explained`), what it rests on
(`guide.dating.reasons`), what the works can have fitted (`guide.dating.fitted`). What stands here is which of it a
letter says, in which order, and what of it is sure, likely, known to nobody. The twin is guide/browser/letter.js.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Any

from guide.dating.belief.papers import PART, RESTORED, part_lag, read_days
from guide.dating.belief.result import dates_of
from guide.dating.dated import Dated
from guide.dating.fitted import FittedMark, known_of
from guide.dating.fitted_sentences import cars_said, fitted_said, trims_of
from guide.dating.output import explained
from guide.dating.reasons import reasons
from guide.dating.result_sentences import nine_said
from guide.pages.parts.letter_lines import GUIDE, TOLD, WORKED, Letter, Line, Section
from guide.pages.parts.letter_list import right_part
from guide.pages.parts.wording import number_failure
from guide.sentence import (
    Sentence,
    Value,
    all_of,
    count,
    day_span,
    duration,
    in_turn,
    lower_first,
    one_of_names,
    sentence,
)

__all__ = ["left_by_works", "letter_of"]

_CARE_NOTES = 3  # of those that touch what stands apart or is looked at next


def letter_of(dated: Dated, facts: Mapping[str, Any], depth: str) -> Letter:
    """Return the letter about one car at a depth. ``facts`` as `letter_facts` returns them."""
    writer = _Writer(dated, facts)
    sections = {"letter": writer.letter, "list": writer.restorers_list, "quote": writer.quote}[depth]()
    numbered = dated.number is not None
    shown = tuple(Section.of(name, lines, numbered=numbered) for name, lines in sections if lines)
    return Letter(depth, writer.title, dated.prepared.model.edition, shown)


class _Writer:
    """Says of one car whatever letters say, each thing in one place."""

    def __init__(self, dated: Dated, facts: Mapping[str, Any]) -> None:
        self.dated, self.facts = dated, facts
        self.model = dated.prepared.model
        self.said, self.because = explained(dated), reasons(dated)
        self.left = left_by_works(dated)
        self.trims = trims_of(self.model, dated.fitted)
        self.kinds_told = known_of(dated.prepared, [answer for _, answer in dated.state.answers]).keys()

    @property
    def title(self) -> Value:
        car = self.dated.number.written if self.dated.number else self.dated.session.car
        return sentence("pages.sheets.for_car", car=self.model.car, number=car) if car else self.model.car

    @property
    def _called(self) -> Value:
        """The car as a sentence begins with it."""
        named = self.dated.number or self.dated.session.car
        return self.title if named else sentence("pages.letter.quote.this", car=self.model.car)

    def letter(self) -> list[tuple[str, list[Line]]]:
        sure, likely, hangs, nobody = self._fitted()
        return [
            ("care", self._care()),
            ("what", self._what()),
            ("sure", sure),
            ("likely", likely),
            ("shows", self._shows()),
            ("apart", self._apart()),
            ("open", [*hangs, *self._next()]),
            ("nobody", [*nobody, *self._unruled()]),
            ("not", [Line(sentence("pages.shell.caution"), (WORKED,))]),
        ]

    def restorers_list(self) -> list[tuple[str, list[Line]]]:
        return [
            ("care", self._care()[:1]),
            ("what", self._what()),
            (
                "parts",
                [
                    right_part(self.model, self.facts, one, self._fitted_line(one))
                    for one in self.left
                    if self.model.marks[one.mark].kind == "mark"
                ],
            ),
            ("not", [Line(sentence("pages.shell.caution"), (WORKED,))]),
        ]

    def quote(self) -> list[tuple[str, list[Line]]]:
        by = (*self._numbers_by(), *((TOLD,) if self.dated.state.answers or self.dated.session.known else ()), WORKED)
        return [("quote", [Line(in_turn(self._quoted()), by)])]

    # What it is

    def _what(self) -> list[Line]:
        lines = [Line(says, (WORKED,)) for says in _failures(self.dated)]
        first, *rest = self.said["sentences"]
        lines += [Line(first, (*self._numbers_by(), WORKED)), *(Line(one, (WORKED,)) for one in rest)]
        if self.because["basis"] is not None:
            lines.append(Line(self.because["basis"], (WORKED,)))
        lines += [
            Line(one["says"], (TOLD, *self._found_by(one["mark"]), WORKED), one["mark"]) for one in self.because["why"]
        ]
        return lines + [Line(sentence("pages.letter.paper", paper=says), (TOLD,)) for says in self._papers()]

    def _numbers_by(self) -> tuple[str, ...]:
        """Return whose word it is when such numbers were built; nothing without a number."""
        if self.dated.number is None:
            return ()
        return tuple(self.facts["numbers"].get(self.model.series[self.dated.number.series].id, ()))

    def _papers(self) -> list[Value]:
        known = self.dated.session.known
        return [self._known_said(kind, text) for kind, text in known.items() if not kind.startswith(PART)]

    def _known_said(self, kind: str, text: str) -> Sentence:
        if kind == RESTORED:
            return sentence("pages.key.known.restored")
        part = self._part(kind.removeprefix(PART)) if kind.startswith(PART) else None
        what = sentence("pages.key.known.part", part=part) if part else sentence(f"pages.key.known.{kind}")
        days = None if kind == "model-year" else read_days(text)
        return sentence("pages.key.known_is", what=what, when=day_span(*days) if days else text)

    # What it left the works with

    def _fitted(self) -> tuple[list[Line], list[Line], list[Line], list[Line]]:
        """Return what it had for certain, what probably, what hangs on the kind of car, and what nobody knows."""
        sure, likely, hangs, nobody = list[Line](), list[Line](), list[Line](), list[Line]()
        for one in self.left:
            line = self._fitted_line(one)
            if len(one.forms) == 1:
                (sure if one.sure else likely).append(line)
                continue
            of_all = [form for form in one.forms if not form.scopes[0].cars]
            on = self._decides(one) if len(of_all) < 2 else ""
            if on:
                hangs.append(replace(line, says=sentence("pages.letter.hangs", line=line.says, on=on)))
            else:
                nobody.append(line)
        return sure, likely, hangs, nobody

    def _fitted_line(self, one: FittedMark) -> Line:
        says = sentence("pages.letter.part", part=self._name(one), forms=fitted_said(self.model, one, self.trims))
        return Line(says, self._fitted_by(one), self.model.marks[one.mark].id)

    def _name(self, one: FittedMark) -> Value:
        only = cars_said(self.model, one.only, self.trims)
        name = self.model.marks[one.mark].name
        return sentence("pages.sheet.only", part=name, scope=lower_first(only)) if only else name

    def _fitted_by(self, one: FittedMark) -> tuple[str, ...]:
        mark = self.model.marks[one.mark]
        entries = self.facts["behind"].get(mark.id, {})
        named = [
            source
            for form in one.forms
            for scope in form.scopes
            for at in scope.behind
            for source in _at(entries.get(mark.forms[form.form].id, ()), at)
        ]
        hangs = {name for form in mark.forms for entry in form.fitted for name in entry.on} & self.kinds_told
        return (*(dict.fromkeys(named) or (WORKED,)), *((TOLD,) if hangs else ()))

    def _decides(self, one: FittedMark) -> Value:
        """Return what a car is as a whole that tells which of a part's forms it had; empty where nothing does."""
        names = dict.fromkeys(name for form in one.forms for scope in form.scopes for name in scope.cars)
        asked = {
            "body" if mark.kind == "body" else mark.id: mark.name for mark in self.model.marks if mark.kind != "mark"
        }
        told = [asked.get("body" if name == "series" else name) for name in names]
        return all_of(lower_first(name) for name in told if name) if any(told) else ""

    # What it shows, and what stands apart

    def _shows(self) -> list[Line]:
        settle = self.because["settle"]
        doubted = {settle["of"]: settle["verdict"]} if settle else {}
        lines = [self._shown(one["mark"], doubted.get(one["mark"], one["says"])) for one in self.said["answers"]]
        dates = [(kind.removeprefix(PART), text) for kind, text in self.dated.session.known.items()]
        lines += [self._part_dated(mark, text) for mark, text in dates if mark in self.dated.prepared.marks_by_id]
        return lines or [Line(sentence("pages.letter.nothing_shown"), (TOLD,))]

    def _shown(self, mark: str, verdict: Value) -> Line:
        form, part = self._form_found(mark), self._part(mark)
        name = "pages.letter.shows" if form else "pages.letter.shows_none"
        says = sentence(name, part=part, form=form, verdict=verdict)
        return Line(says, (TOLD, WORKED), mark)

    def _form_found(self, mark: str) -> Value:
        """Return the forms that were found at a mark as inside a sentence; empty for an answer that names none."""
        answer = next(one for _, one in self.dated.state.answers if one.mark == mark)
        one = self.model.marks[self.dated.prepared.marks_by_id[mark]]
        found = [form.name for form in one.forms if form.id in answer.forms]
        return lower_first(one_of_names(found)) if found else ""

    def _part_dated(self, mark: str, text: str) -> Line:
        """Return the date on a part beside the days of the car, as they are believed without it."""
        model, days = self.model, read_days(text)
        assert days is not None, "a session holds dates that can be read"
        one = model.marks[self.dated.prepared.marks_by_id[mark]]
        lag = part_lag(model, one)
        known = {kind: when for kind, when in self.dated.session.known.items() if kind != f"{PART}{mark}"}
        rest = Dated(self.dated.prepared, replace(self.dated.session, known=known))
        nine = [dates_of(self.dated.prepared, stretch) for stretch in rest.figures.nine]
        way = "agrees"
        if days[0] > nine[-1][1]:
            way = "later"
        elif days[1] + timedelta(days=round(lag)) < nine[0][0]:
            way = "earlier"
        said: dict[str, Value] = {"part": one.name, "when": day_span(*days), "length": duration(lag)}
        return Line(sentence(f"pages.letter.part_dated.{way}", **said), (TOLD, WORKED), mark)

    def _apart(self) -> list[Line]:
        groups = self.said["apart_groups"]
        lines = [Line(one["says"], (*self._all_by(one["marks"]), WORKED), one["marks"][0]) for one in groups]
        return [*lines, Line(sentence("pages.fits.question"), (WORKED,))] if lines else []

    def _found_by(self, mark: str) -> tuple[str, ...]:
        """Return whose word it is when the forms that were found at a mark were fitted."""
        answer = next(one for _, one in self.dated.state.answers if one.mark == mark)
        entries = self.facts["behind"].get(mark, {})
        return tuple(dict.fromkeys(one for form in answer.forms for entry in entries.get(form, ()) for one in entry))

    def _all_by(self, marks: Iterable[str]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(source for mark in marks for source in self._found_by(mark)))

    # What is open

    def _next(self) -> list[Line]:
        lines = list[Line]()
        settle, look, beyond = self.because["settle"], self.said["next"], self.said["beyond"]
        if settle is not None:
            lines.append(
                Line(sentence("pages.letter.settle", says=settle["says"], part=self._part(settle["mark"])), (WORKED,))
            )
        if self.dated.next is None:
            lines.append(Line(sentence(f"dating.stopped.{self.dated.stopped}"), (WORKED,)))
        elif look is not None:
            lines.append(Line(_with_after(look), (WORKED,), look["mark"]))
        if beyond is not None:
            lines.append(Line(_with_after(beyond), (WORKED,), beyond["mark"]))
        return lines

    def _unruled(self) -> list[Line]:
        lines = []
        for one in self.left:
            mark = self.model.marks[one.mark]
            for clash in self.facts["marks"].get(mark.id, {}).get("unruled", ()):
                says = sentence("pages.letter.unruled", part=mark.name, says=clash["says"])
                lines.append(Line(says, tuple(filter(None, (clash["source"],))) or (WORKED,), mark.id))
        return lines

    def _part(self, mark: str) -> str:
        return self.model.marks[self.dated.prepared.marks_by_id[mark]].name

    # Care

    def _care(self) -> list[Line]:
        """Return the usual cautions, and the notes on what stands apart, then on what is to be looked at next."""
        apart = [mark for group in self.said["apart_groups"] for mark in group["marks"]]
        ahead = [look["mark"] for look in (self.because["settle"], self.said["next"], self.said["beyond"]) if look]
        touching = [
            at for mark in (*apart, *ahead) for at, note in enumerate(self.facts["care"]) if mark in note["marks"]
        ]
        notes = [self.facts["care"][at] for at in list(dict.fromkeys(touching))[:_CARE_NOTES]]
        named = [Line(sentence("pages.letter.care", title=one["title"], says=one["says"]), (GUIDE,)) for one in notes]
        return [Line(sentence("pages.sheet.caution"), (GUIDE,)), *named]

    # The paragraph to quote

    def _quoted(self) -> list[Value]:
        told: dict[str, Value] = {"car": self._called, "span": nine_said(self.dated), "evidence": self._evidence()}
        told |= {"title": self.facts["title"], "edition": self.model.edition}
        way = "" if told["evidence"] else "_nothing"
        paced = "_paced" if self.dated.paced else ""
        return [
            sentence(f"pages.letter.quote.believed{way or paced}", **told),
            *self.said["doubts"],
            self._looked(),
            sentence("pages.shell.caution"),
        ]

    def _evidence(self) -> Value:
        """Return what the date rests on, as inside a sentence; empty for nothing."""
        number = self.dated.number
        found: list[Value] = [sentence("dating.doubt.its_number", number=number.written)] if number else []
        found += [self._paper_said(kind, text) for kind, text in self.dated.session.known.items() if kind != RESTORED]
        deciding = [one["mark"] for one in self.because["why"]]
        found += [self._look_said(mark) for mark in deciding]
        rest = len(self.dated.state.vectors) - len(deciding)
        found += [sentence("pages.letter.quote.further", n=rest, count=count(rest))] if rest else []
        return all_of(found) if found else ""

    def _paper_said(self, kind: str, text: str) -> Sentence:
        """Return a date that is known as inside a sentence."""
        if not kind.startswith(PART):
            return sentence("pages.letter.quote.paper", paper=lower_first(self._known_said(kind, text)))
        days = read_days(text)
        assert days is not None, "a session holds dates that can be read"
        part = lower_first(self._part(kind.removeprefix(PART)))
        return sentence("pages.letter.quote.part_date", part=part, when=day_span(*days))

    def _look_said(self, mark: str) -> Sentence:
        part, found = lower_first(self._part(mark)), self._form_found(mark)
        return sentence("pages.letter.quote.look", part=part, form=found)

    def _looked(self) -> Sentence:
        marks = self.model.marks
        answers = self.dated.state.answers
        looked = [at for at, one in answers if marks[at].kind == "mark" and one.kind != "cannot-tell"]
        apart = [mark for group in self.said["apart_groups"] for mark in group["marks"]]
        if not looked:
            return sentence("pages.letter.quote.not_looked")
        told: dict[str, Value] = {"n": len(looked), "count": count(len(looked))}
        if not apart:
            return sentence("pages.letter.quote.none_apart", **told)
        return sentence(
            "pages.letter.quote.apart",
            **told,
            parts=all_of(lower_first(self._part(mark)) for mark in apart),
            m=len(apart),
        )


def left_by_works(dated: Dated) -> Sequence[FittedMark]:
    """Return what the works can have fitted; the trim that was seen is not held against itself."""
    rest = tuple(one for one in dated.session.answers if one.mark != "interior")
    if len(rest) == len(dated.session.answers):
        return dated.fitted
    kinds = dated.prepared.model.marks
    trim = {
        one.mark: one
        for one in Dated(dated.prepared, replace(dated.session, answers=rest)).fitted
        if kinds[one.mark].kind == "interior"
    }
    return [trim.get(one.mark, one) for one in dated.fitted]


def _failures(dated: Dated) -> list[Sentence]:
    """Return why each number that was given says nothing of the date."""
    table = dated.prepared.model.numbers
    typed = dated.session.car.split("+") if dated.session.car else []
    return [failure for number in typed if (failure := number_failure(number, table)) is not None]


def _with_after(look: Mapping[str, Any]) -> Value:
    return in_turn([look["says"], look["after"]]) if look["after"] is not None else look["says"]


def _at(entries: Sequence[Sequence[str]], at: int) -> Sequence[str]:
    return entries[at] if at < len(entries) else ()

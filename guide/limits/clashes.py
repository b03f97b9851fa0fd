"""Statements that cannot all stand: what each side allows, by how much they miss, and what to do.

A clash is a cycle of ties. Where it passes the start of production it falls in two at the disputed moment:
one side allows nothing after a day, the other nothing before a later one, and the clash is short by the days
between the two as printed. The tool sets the less reliable statement aside for now and says that this is a
proposal; who is right, the editor rules. Which statement that is, `solve` decides; the reasons are `steps`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from guide.facts.records.rulings import name_of
from guide.facts.types import FormRef, Guide, Statement, StatementKind
from guide.finding import TICKS_PER_DAY, Finding, Place, Related, SetAside, Step, StepKind
from guide.limits.build import ORIGIN, SOON_AFTER
from guide.limits.bynumber import cars_beyond
from guide.limits.chain import Chain
from guide.limits.claims import Claim, StatedClaim, stated_claims
from guide.limits.network import RULE
from guide.limits.solve import Solved
from guide.limits.steps import Explainer, because, steps_add
from guide.limits.ties import stated
from guide.limits.types import Clash, Contradiction, Standing, Why, day_of
from guide.limits.wording import form_said
from guide.sentence import Sentence, Value, all_of, day, listed, sentence

__all__ = ["Sides", "clash_of", "sides_of", "together_finding"]


@dataclass(frozen=True, slots=True)
class Sides:
    """A negative cycle as an argument: the steps that hold a moment back, and those that put it later.

    The days are None where the cycle never passes the start of production.
    """

    not_after: tuple[Step, ...]
    not_before: tuple[Step, ...]
    upper: date | None
    lower: date | None
    disputed: FormRef
    cell: int
    end: str  # "first" or "last": which of the form's ends is disputed

    @property
    def short_by_days(self) -> int:
        """Return the difference of the two printed dates; without dates, the whole days of the cycle."""
        if self.upper is not None and self.lower is not None:
            return (self.lower - self.upper).days
        return -steps_add(self.chain) // TICKS_PER_DAY

    @property
    def chain(self) -> tuple[Step, ...]:
        """Return all steps; they add up to what the cycle adds up to, which is below nought."""
        return self.not_after + self.not_before


def sides_of(explainer: Explainer, chain: Chain, mark: str, form: str) -> Sides:
    """Return a chain divided at the moment that its first tie disputes, in words about a form of a mark."""
    ties, ends = list(chain.ties), explainer.builder.spell_of
    disputed = ties[0].head if ties[0].head in ends else ties[0].tail
    key, end = ends[disputed]
    ref = FormRef(key.mark, key.form, key.spell)
    at = next((place for place, tie in enumerate(ties) if tie.tail == ORIGIN), None)
    if at is None:
        steps = explainer.steps(ties, 1, mark, form, of_edge=False)
        return Sides(steps, (), None, None, ref, key.cell, end)
    ties = ties[at:] + ties[:at]  # from the start of production round to it
    middle = next((place for place, tie in enumerate(ties, 1) if tie.head == disputed), len(ties))
    upper, lower = ties[:middle], ties[middle:]
    first = explainer.builder.origin_day
    return Sides(
        explainer.steps(upper[::-1], 1, mark, form, of_edge=False),
        explainer.steps(lower, 1, mark, form, of_edge=False),
        day_of(sum(tie.weight for tie in upper), first),
        day_of(-sum(tie.weight for tie in lower), first),
        ref,
        key.cell,
        end,
    )


def _against(solved: Solved, chain: Chain, label: int) -> list[Claim]:
    return [solved.problem.claims[other] for other in chain.labels() if other != label]


def _related(explainer: Explainer, chain: Chain, label: int, mark: str) -> tuple[Related, ...]:
    """Return the other statements that a clash rests on, each line once."""
    said: dict[Place, Sentence] = {}
    for tie in chain.ties:
        if tie.label not in (RULE, label):
            said.setdefault(tie.why.place, explainer.sentence(tie.why, mark))
    return tuple(Related(place, message) for place, message in said.items())


def _more_cars(explainer: Explainer, solved: Solved, sides: Sides, concerned: Sequence[Claim]) -> Iterator[Related]:
    """Yield the cars stated as seen that bear on a disputed end as well, though its chain does without them.

    Each lies beyond what one side allows: by its days, or by its number beyond a first or last of the chain.
    """
    ref, moments = sides.disputed, explainer.builder.moments
    labels = {one.label for one in concerned}
    seen = [
        one
        for one in stated_claims(solved.problem.claims)
        if (one.mark, one.statement.form, one.statement.spell) == (ref.mark, ref.form, ref.spell)
        and (one.statement.kind, sides.cell in one.cells) == (StatementKind.SEEN, True)
        and one.label not in labels
    ]
    ends = [one for one in stated_claims(concerned) if one.statement.kind is not StatementKind.SEEN]
    by_number = {one.label for one in cars_beyond(explainer.builder, ends, seen)}
    for one in seen:
        low, high = moments.bounds(one.when)
        later = sides.end == "last" and sides.upper is not None and low is not None and low > sides.upper
        sooner = sides.end == "first" and sides.lower is not None and high is not None and high < sides.lower
        if later or sooner or one.label in by_number:
            yield Related(one.place, explainer.sentence(stated(explainer.guide, one.statement), one.mark, ref.form))


def _cars_seen(guide: Guide, contradicted: Iterable[Contradiction], concerned: Sequence[Claim]) -> Iterator[Related]:
    """Yield the untouched cars of the tables that contradict some of the claims of a clash."""
    claims = {(one.mark, one.index) for one in concerned}
    for one in contradicted:
        for misfit in one.among(untouched=True) if (one.mark, one.index) in claims else ():
            form = form_said(guide, FormRef(one.mark, one.statement.form), one.mark)
            number = next((number.written for number in misfit.car.numbers), misfit.car.id)
            yield Related(misfit.report.place, sentence("limits.car-seen", car=number, form=form))


def clash_of(
    explainer: Explainer,
    solved: Solved,
    contradicted: Iterable[Contradiction],
    claim: Claim,
    chain: Chain,
    ruled: int | None = None,
) -> Clash:
    """Return the clash of a statement set aside, with its finding, which names every car that bears on it.

    One that a ruling decided, by index, is silent, but kept with its chain for the page.
    """
    statement = explainer.guide.marks[claim.mark].statements[claim.index]
    others = _against(solved, chain, claim.label)
    sides = sides_of(explainer, chain, claim.mark, statement.form)
    clash = Clash(
        mark=claim.mark,
        set_aside=claim.index,
        against=tuple(sorted({other.index for other in others if other.mark == claim.mark})),
        chain=sides.chain,
        more=tuple(_more_cars(explainer, solved, sides, [claim, *others])),
        short_by_days=sides.short_by_days,
        standing=Standing.CLASH,
        ruled=ruled,
        equal_reliability=bool(others) and all(other.trust is claim.trust for other in others),
        finding=None,
    )
    if ruled is not None:
        return clash
    mark = explainer.guide.marks[claim.mark]
    weighed = "rules" if not others else "equal" if clash.equal_reliability else "less"
    gap = next((tie.why for tie in chain.ties if tie.why is not None and tie.why.text == SOON_AFTER), None)
    about = {} if gap is None else _order_about(explainer, gap)
    way = "statements-clash" if gap is None else "form-not-in-order" if "forms" in about else "statements-clash.gap"
    if way == "statements-clash" and _order_alone(chain, [claim, *others]):
        way = "statements-clash.order"
    finding = Finding.of(
        f"limits.{way}",
        claim.place,
        related=(
            *_related(explainer, chain, claim.label, claim.mark),
            *clash.more,
            *_cars_seen(explainer.guide, contradicted, [claim, *others]),
        ),
        chain=sides.chain,
        set_aside=SetAside(claim.place, statement.source),
        mark=mark.name,
        argument=_argument(explainer, sides, mark.id),
        proposal=sentence(f"limits.statements-clash.{weighed}", statement=name_of(statement)),
        file=mark.place.file,
        ruling=_ruling_to_type(statement),
        **about,
    )
    return replace(clash, finding=finding)


def _order_alone(chain: Chain, claims: Sequence[Claim]) -> bool:
    """Tell whether statements of beginnings alone, or of ends alone, clash by the order of forms: it may be typed the
    wrong way round."""
    kinds = {one.statement.kind for one in claims if isinstance(one, StatedClaim)}
    ordered = any(tie.why is not None and tie.why.kind is StepKind.ORDER for tie in chain.ties)
    one_end = any(kinds <= {end, StatementKind.SEEN} for end in (StatementKind.FIRST, StatementKind.LAST))
    return ordered and len(claims) > 1 and one_end


def _order_about(explainer: Explainer, gap: Why) -> dict[str, Value]:
    """Return the forms up to a gap and after it, as the line of YAML has them that puts a form in between; and the
    forms of the works that no order names, of which one may be what is missing there."""
    later = gap.slots["later"]
    assert isinstance(later, FormRef)
    mark = explainer.guide.marks[later.mark]
    order, scope = mark.order, mark.forms[later.form].scope
    at, named = order.index(later), {ref.form for ref in mark.order}
    works = [one for one in mark.forms.values() if one.dates_a_car and not one.is_option]
    forgotten = [one.id for one in works if one.id not in named and scope.within(one.scope)]
    about: dict[str, Value] = {
        "before": listed(ref.form for ref in order[:at]),
        "after": listed(ref.form for ref in order[at:]),
    }
    between: dict[str, Value] = {
        "n": len(forgotten),
        "forms": all_of(forgotten),
        "whole": listed([*(ref.form for ref in order[:at]), *forgotten, *(ref.form for ref in order[at:])]),
    }
    return about | between if forgotten else about


def _ruling_to_type(statement: Statement) -> str:
    """Return the line of YAML that reads a statement otherwise, with what the editor has to fill in."""
    return f'{{read: "{name_of(statement)}", as: {{for: ...}}, why: ..., on: ...}}'


def _argument(explainer: Explainer, sides: Sides, mark: str) -> Sentence:
    """Return both sides of a clash as sentences, where the talk is of a mark."""
    days = sides.short_by_days
    form = form_said(explainer.guide, sides.disputed, mark)
    if sides.upper is None or sides.lower is None:
        return sentence("limits.statements-clash.circle", form=form, reasons=because(sides.not_after))
    return sentence(
        f"limits.statements-clash.{sides.end}",
        form=form,
        upper=day(sides.upper),
        lower=day(sides.lower),
        why_upper=because(sides.not_after),
        why_lower=because(sides.not_before),
        short=sentence(f"limits.statements-clash.{'short' if days else 'short-hours'}", days=days),
    )


def together_finding(
    solved: Solved, explainer: Explainer, index: int, refused: Sequence[tuple[Claim, Chain]]
) -> Finding:
    """Return one finding for forms declared to have come in together that cannot have, in some cars."""
    guide = explainer.guide
    declared = guide.changed_together[index]
    claim, chain = refused[0]
    one = declared.forms[0]
    sides = sides_of(explainer, chain, one.mark, one.form)
    others = _against(solved, chain, claim.label)
    marks = list(dict.fromkeys(other.mark for other in others if other.mark))
    return Finding.of(
        "limits.together-apart",
        declared.place,
        related=_related(explainer, chain, claim.label, one.mark),
        chain=sides.chain,
        set_aside=SetAside(declared.place, declared.source),
        name=declared.name,
        argument=_argument(explainer, sides, ""),
        marks=all_of(guide.marks[one].name for one in marks),
    )

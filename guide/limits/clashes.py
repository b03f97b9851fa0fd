"""Statements that cannot all stand: what each side allows, by how much they miss, and what to do.

A clash is a cycle of ties. Where it passes the start of production it falls in two at the disputed moment:
one side allows nothing after a day, the other nothing before a later one, and the clash is short by the days
between the two as printed. The tool sets the less reliable statement aside for now and says that this is a
proposal; who is right, the editor rules.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from guide.facts.records.rulings import name_of
from guide.facts.types import FormRef, Guide, Mark, Statement
from guide.finding import TICKS_PER_DAY, Finding, Place, Related, SetAside, Step
from guide.limits.build import ORIGIN
from guide.limits.claims import Claim
from guide.limits.network import RULE, Chain, Tie
from guide.limits.says import Sayer, form_words, join_reasons
from guide.limits.solve import Solved
from guide.limits.types import Clash, day_of

__all__ = ["Sides", "clash_of", "ruled_clash", "sides_of", "together_finding"]


@dataclass(frozen=True, slots=True)
class Sides:
    """A negative cycle as an argument: the steps that hold a moment back, and those that put it later.

    The days are None where the cycle never passes the start of production.
    """

    not_after: tuple[Step, ...]
    not_before: tuple[Step, ...]
    upper: date | None
    lower: date | None
    ticks: int
    disputed: FormRef
    end: str  # "first" or "last": which of the form's ends is disputed

    @property
    def short_by_days(self) -> int:
        """Return the difference of the two printed dates; without dates, the whole days of the cycle."""
        if self.upper is not None and self.lower is not None:
            return (self.lower - self.upper).days
        return -self.ticks // TICKS_PER_DAY

    @property
    def chain(self) -> tuple[Step, ...]:
        """Return all steps; they add up to what the cycle adds up to, which is below nought."""
        return self.not_after + self.not_before


def sides_of(sayer: Sayer, chain: Chain, mark: str, form: str) -> Sides:
    """Return a chain divided at the moment that its first tie disputes, in words about a form of a mark."""
    ties, ends = list(chain.ties), _ends(sayer)
    disputed = ties[0].head if ties[0].head in ends else ties[0].tail
    ref, end = ends[disputed]
    at = next((place for place, tie in enumerate(ties) if tie.tail == ORIGIN), None)
    if at is None:
        steps = sayer.steps(ties, 1, mark, form, of_edge=False)
        return Sides(steps, (), None, None, chain.ticks, ref, end)
    ties = ties[at:] + ties[:at]  # from the start of production round to it
    upper = _until(ties, disputed)
    lower = ties[len(upper) :]
    first = sayer.guide.production.first
    return Sides(
        sayer.steps(upper[::-1], 1, mark, form, of_edge=False),
        sayer.steps(lower, 1, mark, form, of_edge=False),
        day_of(sum(tie.weight for tie in upper), first),
        day_of(-sum(tie.weight for tie in lower), first),
        chain.ticks,
        ref,
        end,
    )


def _ends(sayer: Sayer) -> dict[int, tuple[FormRef, str]]:
    """Return what each first and last is the end of."""
    return {
        point: (FormRef(key.mark, key.form, key.spell), end)
        for key, ends in sayer.builder.ends.items()
        for point, end in ((ends.first, "first"), (ends.last, "last"))
    }


def _until(ties: Sequence[Tie], point: int) -> list[Tie]:
    """Return the ties up to the one that leads to a point."""
    taken = []
    for tie in ties:
        taken.append(tie)
        if tie.head == point:
            return taken
    return taken


def _statement(guide: Guide, claim: Claim) -> Statement:
    return guide.marks[claim.mark].statements[claim.index]


def _against(solved: Solved, chain: Chain, label: int) -> list[Claim]:
    return [solved.problem.claims[other] for other in chain.labels() if other != label]


def _related(sayer: Sayer, chain: Chain, label: int, mark: str) -> tuple[Related, ...]:
    """Return the other statements that a clash rests on, each line once."""
    said: dict[Place, str] = {}
    for tie in chain.ties:
        if tie.label not in (RULE, label):
            said.setdefault(tie.why.place, sayer.sentence(tie.why, mark))
    return tuple(Related(place, words) for place, words in said.items())


def _is_equal(claim: Claim, others: Sequence[Claim]) -> bool:
    """Tell whether nothing the claim stands against is believed any more than it is."""
    return bool(others) and all(other.trust is claim.trust for other in others)


def clash_of(solved: Solved, sayer: Sayer, claim: Claim, chain: Chain) -> Clash:
    """Return the clash of a statement set aside, with its finding."""
    words, guide = sayer.words, sayer.guide
    statement, mark = _statement(guide, claim), guide.marks[claim.mark]
    others = _against(solved, chain, claim.label)
    sides = sides_of(sayer, chain, claim.mark, statement.form)
    equal = _is_equal(claim, others)
    weighed = "limits.clash.rules" if not others else "limits.clash.equal" if equal else "limits.clash.less"
    proposal = words.say(weighed, statement=name_of(statement))
    finding = Finding(
        "statements-clash",
        claim.place,
        words.say("limits.clash", mark=mark.name, argument=_argument(sayer, sides, mark.id), proposal=proposal),
        words.say("limits.clash.put-right", file=mark.place.file, ruling=_ruling_to_type(statement)),
        _related(sayer, chain, claim.label, claim.mark),
        sides.chain,
        SetAside(claim.place, statement.source),
    )
    return Clash(
        mark=claim.mark,
        set_aside=claim.index,
        against=_own_indices(others, claim.mark),
        chain=sides.chain,
        short_by_days=sides.short_by_days,
        axis="day",
        ruled=None,
        equal_reliability=equal,
        finding=finding,
    )


def _ruling_to_type(statement: Statement) -> str:
    """Return the line of YAML that reads a statement otherwise, with what the editor has to fill in."""
    return f'{{read: "{name_of(statement)}", as: {{for: ...}}, why: ..., on: ...}}'


def _argument(sayer: Sayer, sides: Sides, mark: str) -> str:
    """Return both sides of a clash as sentences, where the talk is of a mark."""
    words, days = sayer.words, sides.short_by_days
    form = form_words(words, sayer.guide, sides.disputed, mark)
    if sides.upper is None or sides.lower is None:
        reasons = join_reasons(words, [words.tell(step.says) for step in sides.not_after])
        return words.say("limits.clash.circle", form=form, reasons=reasons)
    return words.say(
        f"limits.clash.{sides.end}",
        form=form,
        upper=words.day(sides.upper),
        lower=words.day(sides.lower),
        why_upper=join_reasons(words, [words.tell(step.says) for step in sides.not_after]),
        why_lower=join_reasons(words, [words.tell(step.says) for step in sides.not_before]),
        short=words.say("limits.clash.short", days=days) if days else words.say("limits.clash.short-hours"),
    )


def _own_indices(others: Sequence[Claim], mark: str) -> tuple[int, ...]:
    return tuple(sorted({other.index for other in others if other.mark == mark}))


def ruled_clash(solved: Solved, sayer: Sayer, mark: Mark, ruling: int, claim: Claim, chain: Chain) -> Clash:
    """Return the clash that a ruling decided: silent, but kept with its chain for the page."""
    statement = mark.statements[claim.index]
    others = _against(solved, chain, claim.label)
    sides = sides_of(sayer, chain, mark.id, statement.form)
    return Clash(
        mark=mark.id,
        set_aside=claim.index,
        against=_own_indices(others, mark.id),
        chain=sides.chain,
        short_by_days=sides.short_by_days,
        axis="day",
        ruled=ruling,
        equal_reliability=_is_equal(claim, others),
        finding=None,
    )


def together_finding(solved: Solved, sayer: Sayer, index: int, refused: Sequence[tuple[Claim, Chain]]) -> Finding:
    """Return one finding for forms declared to have come in together that cannot have, in some cars."""
    words, guide = sayer.words, sayer.guide
    declared = guide.changed_together[index]
    claim, chain = refused[0]
    one = declared.forms[0]
    sides = sides_of(sayer, chain, one.mark, one.form)
    others = _against(solved, chain, claim.label)
    marks = list(dict.fromkeys(other.mark for other in others if other.mark))
    return Finding(
        "together-apart",
        declared.place,
        words.say("limits.together-apart", name=declared.name, argument=_argument(sayer, sides, "")),
        words.say("limits.together-apart.put-right", marks=words.all_of(guide.marks[one].name for one in marks)),
        _related(sayer, chain, claim.label, one.mark),
        sides.chain,
        SetAside(declared.place, declared.source),
    )

"""From a guide's facts to what all its statements together allow: the stage's one way in.

Rulings are applied; the network is posed and solved; claims by number are tested on numbers; then everything
is put into words. The result is the same for the same guide, in the same order.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from functools import partial

from guide.facts.records.rulings import name_of
from guide.facts.types import FormRef, Guide, Mark, Scope, Statement, StatementKind
from guide.finding import Finding, Related
from guide.limits.borne import weigh
from guide.limits.build import Builder, SpellKey
from guide.limits.built import check_built
from guide.limits.bynumber import Mixed, mixed_by_number, mixed_clash
from guide.limits.chain import Chain
from guide.limits.claims import Claim, cells_it_may_lie_in, scope_spoken_of, stated_claims
from guide.limits.clashes import clash_of, together_finding
from guide.limits.held import contradictions
from guide.limits.helpful import Helpful
from guide.limits.moments import Moments
from guide.limits.network import Shortest
from guide.limits.numbered import numbers_of
from guide.limits.positions import series_lines
from guide.limits.rulings import unheard_echoes
from guide.limits.scopes import Cell
from guide.limits.solve import Ruled, Solved, pose, solve
from guide.limits.steps import Explainer
from guide.limits.totals import check_totals
from guide.limits.types import Clash, Contradiction, DatedSpell, Limits, LimitsResult, SpellNumbers
from guide.sentence import Value, all_of, day, sentence

__all__ = ["derive_limits"]


def derive_limits(guide: Guide) -> LimitsResult:
    """Return the limits of every spell of a guide, the clashes among its statements, and what to say of them."""
    moments = Moments(guide, series_lines(guide), series_lines(guide, guide.further_numbers.values()))
    solved = solve(pose(moments))
    explainer = Explainer(solved.problem.builder)
    spells = tuple(_dated_spells(solved, explainer))
    contradicted = contradictions(solved.problem.builder, stated_claims(solved.problem.claims))
    clashes = _clashes(solved, explainer, contradicted)
    corroborated, looser = weigh(solved)
    unplaced = list(_unplaced(solved.problem.builder, solved.problem.claims))
    findings = [
        *solved.problem.findings,
        *(clash.finding for clash in clashes if clash.finding is not None),
        *_came_in_apart(solved, explainer),
        *_rulings(guide, clashes, _against_cars(solved)),
        *(finding for _, finding in unplaced),
        *looser,
        *check_built(moments),
        *check_totals(moments, spells),
    ]
    return LimitsResult(
        moments=moments,
        spells=spells,
        clashes=clashes,
        contradicted=contradicted,
        helps=partial(Helpful, moments, spells),
        findings=tuple(sorted(findings, key=lambda finding: finding.sort_key)),
        corroborated=corroborated,
        unused={(claim.mark, claim.index): finding.code for claim, finding in unplaced}
        | dict.fromkeys(unheard_echoes(guide), "echo"),
    )


# Spells


def _spell_order(mark: Mark) -> list[FormRef]:
    """Return the spells of a mark in its declared order, those outside it after, form by form."""
    every = [FormRef(mark.id, form.id, spell.number) for form in mark.forms.values() for spell in form.spells]
    return [*mark.order, *(ref for ref in every if ref not in set(mark.order))]


def _dated_spells(solved: Solved, explainer: Explainer) -> Iterator[DatedSpell]:
    builder = solved.problem.builder
    closed = {
        SpellKey(claim.mark, claim.statement.form, claim.statement.spell, cell)
        for claim in stated_claims(solved.standing)
        for cell in claim.cells
        if claim.statement.kind is StatementKind.LAST
    }
    numbers, begun = numbers_of(builder, stated_claims(solved.standing)), _Begun(solved)
    for mark in explainer.guide.marks.values():
        for ref in _spell_order(mark):
            for index, cell in enumerate(builder.cells[mark.id]):
                key = SpellKey(mark.id, ref.form, ref.spell, index)
                if key in builder.ends:
                    ends = builder.ends[key]
                    yield DatedSpell(
                        mark=mark.id,
                        form=ref.form,
                        spell=ref.spell,
                        scope=cell.scope,
                        first=_limits(solved, explainer, ends.first, ref),
                        last=_limits(solved, explainer, ends.last, ref),
                        last_is_stated=key in closed,
                        numbers=numbers.get(key, {}),
                        from_the_first_car=begun.with_first(cell, ends.first, numbers.get(key, {})),
                    )


class _Begun:
    """Tells of a first whether it was there from the very first car on, whatever day that was built."""

    def __init__(self, solved: Solved) -> None:
        self.solved = solved
        self._from_first: dict[str, Shortest] = {}

    def with_first(self, cell: Cell, point: int, numbers: Mapping[str, SpellNumbers]) -> bool:
        """Tell whether no car of a cell can have come before this first, by number or by what is stated of days.

        Only where the two moments are tied can that be told: that the latest day of either is the same says
        nothing. With several series it is the first day of production.
        """
        builder, solved = self.solved.problem.builder, self.solved
        line = builder.only_line(cell)
        if line is None:
            return solved.latest_of(point) <= builder.end_of(builder.origin_day)
        series = line.series.id
        if numbers.get(series, SpellNumbers()).first.high == 0:
            return True
        first_car = builder.nominals[series][0]
        if solved.latest_of(point) > solved.latest_of(first_car):
            return False
        if series not in self._from_first:
            self._from_first[series] = solved.network.latest_from(first_car)
        after = self._from_first[series].distance[point]
        return after is not None and after <= 0


def _limits(solved: Solved, explainer: Explainer, point: int, ref: FormRef) -> Limits:
    back, on = (solved.network.way(shortest, point) for shortest in (solved.earliest, solved.latest))
    return Limits(
        solved.earliest_of(point),
        solved.latest_of(point),
        explainer.steps(back, -1, ref.mark, ref.form, of_edge=True),
        explainer.steps(on, 1, ref.mark, ref.form, of_edge=True),
    )


# Clashes


def _clashes(solved: Solved, explainer: Explainer, contradicted: Sequence[Contradiction]) -> tuple[Clash, ...]:
    """Return all clashes, by mark and statement: those by day, ruled or not, then those by number only."""
    by_day = [
        clash_of(explainer, solved, contradicted, one.claim, one.chain) for one in solved.refused if one.claim.mark
    ]
    refused = {one.claim.label for one in solved.refused}
    by_number = [
        mixed_clash(explainer, mixed)
        for mixed in mixed_by_number(solved.problem.builder, list(stated_claims(solved.problem.claims)))
        if not refused & {mixed.claim.label, *(other.label for other in mixed.others)}
    ]
    ruled = [clash for one in solved.ruled if (clash := _ruled(solved, explainer, one)) is not None]
    order = {mark: index for index, mark in enumerate(explainer.guide.marks)}
    return tuple(
        sorted([*by_day, *by_number, *ruled], key=lambda clash: (order[clash.mark], clash.set_aside, clash.standing))
    )


def _ruled(solved: Solved, explainer: Explainer, ruled: Ruled) -> Clash | None:
    """Return the clash that a ruling decided: what stands against its statement as printed, by day or by number."""
    claim = ruled.claim
    if ruled.chain is not None:
        return clash_of(explainer, solved, (), claim, ruled.chain, ruled.ruling)
    read = stated_claims(solved.problem.claims)
    others = [one for one in read if (one.mark, one.index) != (claim.mark, claim.index)]
    for mixed in mixed_by_number(solved.problem.builder, [*others, claim]):
        if mixed.claim is claim:
            return mixed_clash(explainer, mixed, ruled.ruling)
        if any(other is claim for other in mixed.others):
            return mixed_clash(explainer, Mixed(claim, (mixed.claim,)), ruled.ruling)
    return None


def _came_in_apart(solved: Solved, explainer: Explainer) -> Iterator[Finding]:
    """Yield a finding for each declaration of forms changed together that cannot hold in some cars."""
    refused: defaultdict[int, list[tuple[Claim, Chain]]] = defaultdict(list)
    for one in solved.refused:
        if not one.claim.mark:
            refused[one.claim.index].append((one.claim, one.chain))
    for index, pairs in sorted(refused.items()):
        yield together_finding(solved, explainer, index, pairs)


# Rulings


def _against_cars(solved: Solved) -> set[tuple[str, int]]:
    """Return each statement with a ruling on it, as mark and index, that cars seen contradict as it is printed."""
    printed = {(one.claim.mark, one.claim.index): one.claim for one in solved.ruled}
    if not printed or not solved.problem.builder.guide.cars_seen:
        return set()
    forms = {(one.mark, one.statement.form) for one in printed.values()}  # a car is weighed form by form
    read = [
        one
        for one in stated_claims(solved.problem.claims)
        if (one.mark, one.index) not in printed and (one.mark, one.statement.form) in forms
    ]
    found = contradictions(solved.problem.builder, [*read, *printed.values()])
    return {(one.mark, one.index) for one in found} & set(printed)


def _rulings(guide: Guide, clashes: Sequence[Clash], against_cars: Collection[tuple[str, int]]) -> Iterator[Finding]:
    """Yield a finding for each ruling that new statements bear on, or that no longer decides anything.

    A ruling decides what to make of cars seen, too: ``against_cars`` are the statements that these contradict.
    """
    for mark in guide.marks.values():
        mine = [clash for clash in clashes if clash.mark == mark.id]
        for number, ruling in enumerate(mark.rulings):
            decided = next((clash for clash in mine if clash.ruled == number), None)
            named = name_of(mark.statements[ruling.statement])
            if decided is None and (mark.id, ruling.statement) in against_cars:
                continue
            if decided is None:
                yield Finding.of(
                    "limits.ruling-decides-nothing",
                    ruling.place,
                    related=(Related(mark.statements[ruling.statement].place, named),),
                    statement=named,
                )
                continue
            concerned = {ruling.statement, *decided.against}
            bearing = [clash for clash in mine if clash.ruled is None and concerned & {clash.set_aside, *clash.against}]
            if bearing:
                against = [(clash.finding, mark.statements[clash.set_aside]) for clash in bearing]
                yield Finding.of(
                    "limits.ruling-reopened",
                    ruling.place,
                    related=tuple(
                        Related(finding.place, sentence("limits.ruling-reopened.clash", statement=name_of(statement)))
                        for finding, statement in against
                        if finding is not None
                    ),
                    statement=named,
                    day=day(ruling.on),
                )


# Statements that speak for nothing


def _unplaced(builder: Builder, claims: Sequence[Claim]) -> Iterator[tuple[Claim, Finding]]:
    """Yield each statement that can be used for no cars of its mark, with its finding."""
    for claim in stated_claims(claims):
        statement, mark = claim.statement, builder.guide.marks[claim.mark]
        if not mark.forms[statement.form].dates_a_car:
            continue
        kind: Value = ""
        if claim.cells:
            if statement.kind is not StatementKind.SEEN or claim.ties:
                continue
            way = "seen-while-shut"
        else:
            said = scope_spoken_of(builder, mark, statement)
            way, kind = ("speaks-for-no-car", "") if said is None else _how_to_place(builder, mark, statement, said)
        named, form = name_of(mark.statements[claim.index]), mark.forms[statement.form].name
        yield (claim, Finding.of(f"limits.{way}", claim.place, statement=named, mark=mark.name, form=form, kind=kind))


def _how_to_place(builder: Builder, mark: Mark, statement: Statement, said: Scope) -> tuple[str, Value]:
    """Return how to place a statement in a cell that it may speak for, as its own file has it, and which way that is.

    Only what neither the statement nor the car's number tells already need be said.
    """
    may = cells_it_may_lie_in(builder, mark, statement) or range(len(builder.cells[mark.id]))
    parts = [
        (dimension, values[0])
        for dimension, values in builder.cells[mark.id][may[0]].scope.parts
        if not set(said.values(dimension) or ("",)) <= set(values)
    ]
    if statement.place.file.endswith(".csv"):
        under = (sentence("limits.not-placed.under", column=name, value=value) for name, value in parts)
        return "not-placed.csv", all_of(under)
    return "not-placed", "{" + ", ".join(f"{dimension}: {value}" for dimension, value in parts) + "}"

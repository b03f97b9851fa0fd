"""From a guide's facts to what all its statements together allow: the stage's one way in.

Rulings are applied; the network is posed and solved; claims by number are tested on numbers; then everything
is put into words. The result is the same for the same guide, in the same order.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from guide.facts.records.rulings import name_of
from guide.facts.types import FormRef, Guide, Mark, Scope, Statement, StatementKind
from guide.finding import Finding, Related
from guide.limits.borne import weigh
from guide.limits.build import SpellKey
from guide.limits.bynumber import Mixed, mixed_by_number, mixed_clash
from guide.limits.claims import Claim, cells_it_may_lie_in
from guide.limits.clashes import clash_of, ruled_clash, together_finding
from guide.limits.helpful import most_helpful
from guide.limits.network import Chain
from guide.limits.positions import series_lines
from guide.limits.rulings import standing_statements
from guide.limits.says import Sayer
from guide.limits.solve import Solved, pose, solve
from guide.limits.totals import check_totals
from guide.limits.types import Clash, DatedSpell, Limits, LimitsResult
from guide.words.say import load_words

__all__ = ["derive_limits"]


def derive_limits(guide: Guide) -> LimitsResult:
    """Return the limits of every spell of a guide, the clashes among its statements, and what to say of them."""
    lines = series_lines(guide)
    solved = solve(pose(guide, lines, standing_statements(guide)))
    sayer = Sayer(load_words(guide.language), solved.problem.builder)
    spells = tuple(_dated_spells(solved, sayer))
    clashes = _clashes(solved, sayer)
    borne = weigh(solved, sayer)
    unplaced = list(_unplaced(solved, sayer))
    findings = [
        *solved.problem.findings,
        *(clash.finding for clash in clashes if clash.finding is not None),
        *_apart(solved, sayer),
        *_rulings(sayer, clashes),
        *(finding for _, finding in unplaced),
        *borne.findings,
        *check_totals(solved.problem.builder.moments, sayer.words, spells),
    ]
    return LimitsResult(
        lines=lines,
        spells=spells,
        clashes=clashes,
        helpful=most_helpful(sayer, spells),
        findings=tuple(sorted(findings, key=lambda finding: finding.sort_key)),
        corroborated=borne.corroborated,
        slack_days=borne.slack_days,
        unused={(claim.mark, claim.index): finding.code for claim, finding in unplaced},
    )


# Spells


def _spell_order(mark: Mark) -> list[FormRef]:
    """Return the spells of a mark in its declared order, those outside it after, form by form."""
    every = [FormRef(mark.id, form.id, spell.number) for form in mark.forms.values() for spell in form.spells]
    return [*mark.order, *(ref for ref in every if ref not in set(mark.order))]


def _dated_spells(solved: Solved, sayer: Sayer) -> Iterator[DatedSpell]:
    builder = solved.problem.builder
    closed = {
        SpellKey(claim.mark, claim.statement.form, claim.statement.spell, cell)
        for claim in solved.standing
        for cell in claim.cells
        if claim.statement is not None and claim.statement.kind is StatementKind.LAST
    }
    for mark in sayer.guide.marks.values():
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
                        first=_limits(solved, sayer, ends.first, ref),
                        last=_limits(solved, sayer, ends.last, ref),
                        last_is_stated=key in closed,
                    )


def _limits(solved: Solved, sayer: Sayer, point: int, ref: FormRef) -> Limits:
    back = solved.network.way_to(solved.earliest, point)
    on = solved.network.way_from(solved.latest, point)[::-1]
    return Limits(
        solved.earliest_of(point),
        solved.latest_of(point),
        sayer.steps(back, -1, ref.mark, ref.form, of_edge=True),
        sayer.steps(on, 1, ref.mark, ref.form, of_edge=True),
    )


# Clashes


def _clashes(solved: Solved, sayer: Sayer) -> tuple[Clash, ...]:
    """Return all clashes, by mark and statement: those by day, ruled or not, then those by number only."""
    by_day = [clash_of(solved, sayer, one.claim, one.chain) for one in solved.refused if one.claim.mark]
    refused = {one.claim.label for one in solved.refused}
    by_number = [
        mixed_clash(sayer, mixed, None)
        for mixed in mixed_by_number(solved.problem.builder, solved.problem.claims)
        if not refused & {mixed.claim.label, *(other.label for other in mixed.others)}
    ]
    ruled = [
        clash
        for (mark, number), claim in solved.problem.printed.items()
        if (clash := _ruled(solved, sayer, sayer.guide.marks[mark], number, claim)) is not None
    ]
    order = {mark: index for index, mark in enumerate(sayer.guide.marks)}
    return tuple(
        sorted([*by_day, *by_number, *ruled], key=lambda clash: (order[clash.mark], clash.set_aside, clash.axis))
    )


def _ruled(solved: Solved, sayer: Sayer, mark: Mark, number: int, claim: Claim) -> Clash | None:
    chain: Chain | None = solved.ruled[mark.id, number]
    if chain is not None:
        return ruled_clash(solved, sayer, mark, number, claim, chain)
    others = [one for one in solved.problem.claims if (one.mark, one.index) != (claim.mark, claim.index)]
    for mixed in mixed_by_number(solved.problem.builder, [*others, claim]):
        if mixed.claim.label == claim.label:
            return mixed_clash(sayer, mixed, number)
        if claim.label in {other.label for other in mixed.others}:
            against = Mixed(claim, (mixed.claim,))
            return mixed_clash(sayer, against, number)
    return None


def _apart(solved: Solved, sayer: Sayer) -> Iterator[Finding]:
    """Yield a finding for each declaration of forms changed together that cannot hold in some cars."""
    refused: defaultdict[int, list[tuple[Claim, Chain]]] = defaultdict(list)
    for one in solved.refused:
        if not one.claim.mark:
            refused[one.claim.index].append((one.claim, one.chain))
    for index, pairs in sorted(refused.items()):
        yield together_finding(solved, sayer, index, pairs)


# Rulings


def _rulings(sayer: Sayer, clashes: Sequence[Clash]) -> Iterator[Finding]:
    """Yield a finding for each ruling that new statements bear on, or that no longer decides anything."""
    words = sayer.words
    for mark in sayer.guide.marks.values():
        mine = [clash for clash in clashes if clash.mark == mark.id]
        for number, ruling in enumerate(mark.rulings):
            decided = next((clash for clash in mine if clash.ruled == number), None)
            named = name_of(mark.statements[ruling.statement])
            if decided is None:
                yield Finding(
                    "ruling-decides-nothing",
                    ruling.place,
                    words.say("limits.ruling-decides-nothing", statement=named),
                    words.say("limits.ruling-decides-nothing.put-right"),
                    (Related(mark.statements[ruling.statement].place, named),),
                )
                continue
            concerned = {ruling.statement, *decided.against}
            bearing = [clash for clash in mine if clash.ruled is None and concerned & {clash.set_aside, *clash.against}]
            if bearing:
                yield Finding(
                    "ruling-reopened",
                    ruling.place,
                    words.say("limits.ruling-reopened", statement=named, day=words.day(ruling.on)),
                    words.say("limits.ruling-reopened.put-right"),
                    tuple(
                        Related(
                            clash.finding.place,
                            words.say(
                                "limits.ruling-reopened.clash", statement=name_of(mark.statements[clash.set_aside])
                            ),
                        )
                        for clash in bearing
                        if clash.finding is not None
                    ),
                )


# Statements that speak for nothing


def _how_to_place(sayer: Sayer, mark: Mark, statement: Statement, said: Scope) -> str:
    """Return how to place a statement in a cell that it may speak for, as its own file has it.

    Only what neither the statement nor the car's number tells already need be said.
    """
    builder, words = sayer.builder, sayer.words
    may = cells_it_may_lie_in(builder, mark, statement) or range(len(builder.cells[mark.id]))
    parts = [
        (dimension, values[0])
        for dimension, values in builder.cells[mark.id][may[0]].scope.parts
        if not set(said.values(dimension) or ("",)) <= set(values)
    ]
    if statement.place.file.endswith(".csv"):
        kind = words.all_of(words.say("limits.not-placed.under", column=name, value=value) for name, value in parts)
        return words.say("limits.not-placed.put-right-csv", kind=kind)
    typed = "{" + ", ".join(f"{dimension}: {value}" for dimension, value in parts) + "}"
    return words.say("limits.not-placed.put-right", kind=typed)


def _unplaced(solved: Solved, sayer: Sayer) -> Iterator[tuple[Claim, Finding]]:
    """Yield each statement that can be used for no cars of its mark, with its finding."""
    builder, words = solved.problem.builder, sayer.words
    for claim in solved.problem.claims:
        statement = claim.statement
        if statement is None or not sayer.guide.marks[claim.mark].forms[statement.form].dates_a_car:
            continue
        mark, car = sayer.guide.marks[claim.mark], statement.when.car if statement.when else None
        if claim.cells:
            if statement.kind is StatementKind.SEEN and not claim.ties:
                yield (
                    claim,
                    Finding(
                        "seen-while-shut",
                        claim.place,
                        words.say(
                            "limits.seen-while-shut",
                            statement=name_of(mark.statements[claim.index]),
                            mark=mark.name,
                            form=mark.forms[statement.form].name,
                        ),
                        words.say("limits.seen-while-shut.put-right"),
                    ),
                )
            continue
        scopes = [statement.scope] if car is None else [statement.scope, builder.dimensions.of_car(car)]
        said = builder.said_scope(mark, statement.form, statement.spell, *scopes)
        code = "speaks-for-no-car" if said is None else "not-placed"
        form = mark.forms[statement.form].name
        how = words.say(f"limits.{code}.put-right") if said is None else _how_to_place(sayer, mark, statement, said)
        yield (
            claim,
            Finding(
                code,
                claim.place,
                words.say(f"limits.{code}", statement=name_of(mark.statements[claim.index]), mark=mark.name, form=form),
                how,
            ),
        )

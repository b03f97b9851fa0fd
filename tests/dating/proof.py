"""Every figure that dating is held to, printed by one command: ``python -m tests.dating.proof``.

The same figures are asserted by tests/dating/test_proof.py; here they are only computed and shown.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np

from guide.dating.building.build import build_model
from guide.dating.card import Card
from guide.dating.model import Model, dump_model
from guide.facts.read import read_guide
from guide.facts.types import Guide
from guide.limits.derive import derive_limits
from guide.limits.types import LimitsResult
from guide.pages.kinds.walkround import cards_of
from tests.dating.asking import key_of
from tests.dating.demo_trial import try_apart, try_model
from tests.dating.loading import load_model
from tests.dating.number_trial import NumberTrial, try_numbers
from tests.dating.policy import Costs, policy_costs, policy_guide
from tests.dating.restored_trial import KINDS, Outcome, try_restored
from tests.dating.trial import Trial, bins_of_ten, precision_and_recall, try_guides
from tests.dating.wrong_trial import GUIDES_THAT_DIFFER, READERS, Right, try_wrong_guides
from tests.pages.shelves import shelf_of

__all__ = [
    "CARS",
    "GUIDES",
    "demo_model",
    "looks_tried",
    "main",
    "numbers_tried",
    "restored_tried",
    "tried",
    "wrong_tried",
]

GUIDES, CARS, WORLDS = 200, 50, 300
POLICY_GUIDES = 60
NUMBER_GUIDES, NUMBER_CARS = 40, 25
RESTORED_GUIDES, RESTORED_CARS, RESTORED_FIRST = 24, 8, 400  # the levels of warning were chosen on 200 and 300 up
DEMO_CARS = 120
WRONG_GUIDES, WRONG_CARS = 60, 12
ROOT = Path(__file__).resolve().parents[2]


@cache
def tried() -> Trial:
    """Return the trial of 200 random guides, 50 cars each."""
    return try_guides(GUIDES, CARS, WORLDS)


@cache
def numbers_tried() -> NumberTrial:
    """Return the trial of cars of which only the number is known."""
    return try_numbers(NUMBER_GUIDES, NUMBER_CARS)


@cache
def restored_tried() -> dict[tuple[str, bool], Outcome]:
    """Return the trial of restored cars and of ordinary ones, by kind and whether their number was known."""
    return try_restored(RESTORED_GUIDES, RESTORED_CARS, first=RESTORED_FIRST)


@cache
def wrong_tried() -> dict[tuple[str, str], Right]:
    """Return the trial of guides that are wrong, beside two simple readers."""
    return try_wrong_guides(WRONG_GUIDES, WRONG_CARS)


@cache
def looks_tried(*, reaches: bool = False) -> tuple[Costs, ...]:
    """Return the cost of looks by the best policy and by the engine, over 60 guides small enough to search."""
    return tuple(policy_costs(policy_guide(seed, reaches=reaches)) for seed in range(POLICY_GUIDES))


@cache
def demo() -> tuple[Guide, LimitsResult]:
    """Return the demo guide and its limits."""
    guide = read_guide(ROOT / "content").guide
    assert guide is not None
    return guide, derive_limits(guide)


@cache
def demo_model() -> Model:
    """Return the demo guide's model, as a page loads it."""
    return load_model(dump_model(build_model(*demo())))


def printed_card() -> Card:
    """Return the demo guide's walk-round card with as many marks as two sides of paper hold."""
    return cards_of(shelf_of(*demo(), demo_model()))[0].card


def _say(what: str, figure: str, wanted: str = "") -> None:
    print(f"  {what:<62}{figure:>16}{'   wanted: ' + wanted if wanted else ''}")


def _say_restored() -> None:
    warns = demo_model().telling.warns_from
    print(f"\nrestored cars beside ordinary ones, {RESTORED_GUIDES} guides: held, or warned that it may be restored")
    for (kind, numbered), one in restored_tried().items():
        held, warned = np.array(one.held), np.array(one.restored) >= warns(numbered=numbered)
        wanted = "" if not numbered or kind == "ordinary" else "at least 85 %"
        _say(
            f"{kind}, {'with its number' if numbered else 'by looks alone'}: 90 % spans held",
            f"{held.mean():.1%}",
            wanted,
        )
        _say("   warned", f"{warned.mean():.1%}", "at most 10 %" if kind == "ordinary" else "")
        _say("   held or warned", f"{(held | warned).mean():.1%}", "" if numbered else "within 5 points of the next")
        if not numbered:
            ordinary = np.array(restored_tried()["ordinary", False].knows_restored)
            level = float(np.quantile(ordinary, 0.9))  # warns as many ordinary cars as may be
            knows = np.array(one.knowing) | (np.array(one.knows_restored) > level)
            _say("   by a reader who knows the law, warning one ordinary car in ten", f"{knows.mean():.1%}")
    print("  what warning costs: ordinary cars warned, and restored ones held or warned, by looks alone")
    for level in (0.05, 0.1, 0.15, 0.2, 0.3):
        figures = [
            (np.array(one.held) & (kind != "ordinary")) | (np.array(one.restored) >= level)
            for kind in KINDS
            for one in (restored_tried()[kind, False],)
        ]
        print(f"    from a chance of {level:.2f}: " + ", ".join(f"{figure.mean():.1%}" for figure in figures))


def _say_wrong() -> None:
    print(
        f"\nwhat is not known and what is wrong, {WRONG_GUIDES} guides: 90 % spans held, their days, period named right"
    )
    print(" " * 30 + "".join(f"{reader:>30}" for reader in READERS))
    for name in GUIDES_THAT_DIFFER:
        figures = [wrong_tried()[name, reader] for reader in READERS]
        told = [f"{np.mean(o.held):.1%}, {np.mean(o.days):.0f} days, {np.mean(o.period):.1%}" for o in figures]
        print(f"  {name:<28}" + "".join(f"{one:>30}" for one in told))


def _say_apart(trial: Trial) -> None:
    print("\nstanding apart: the share of what is said so that was built otherwise / of that built otherwise, said so")
    drawn = try_apart(demo_model(), DEMO_CARS, 11)
    for what, pairs, wanted in (
        ("random guides, three parts in four looked at", [(at >= 0.5, true) for at, true in trial.stated_apart], ""),
        ("the demo guide, as it is told", drawn.told, "93.8 / 83.8 %"),
        ("   by the chance alone, parts that an option explains too", drawn.likely, ""),
    ):
        precision, recall = precision_and_recall(pairs)
        _say(what, f"{precision:.1%} / {recall:.1%}", wanted)


def main() -> None:
    """Print every figure."""
    trial = tried()
    print(f"{GUIDES} random guides, {CARS} cars each, changeovers drawn once per guide")
    for name, held, weight, wanted in (
        ("90 %", trial.held_nine, trial.weight_nine, "90 ± 1.5"),
        ("50 %", trial.held_half, trial.weight_half, "50 ± 2.5"),
    ):
        _say(f"spans said to hold {name} held", f"{np.mean(held):.2%}", wanted)
        apart = 100 * (np.mean(held) - np.mean(weight))
        _say("   less their mean weight", f"{apart:+.2f} points", "at most 1.5 either way")
    _say("log loss about the period", f"{np.mean(trial.loss):.4f} nat")
    more = np.mean(trial.loss) - np.mean(trial.loss_brute)
    _say("   less that of brute-force Bayes", f"{more:+.4f} nat", "within 0.01")
    for what, stated in (("the period", trial.stated_period), ("standing apart", trial.stated_apart)):
        print(f"\nstated chances of {what}, in ten bins: how many, stated, came true")
        for count, said, true in bins_of_ten(stated):
            print(f"  {count:>7}  {said:.3f}  {true:.3f}")
    _say_apart(trial)
    numbers = numbers_tried()
    print(f"\nthe number alone, {NUMBER_GUIDES} guides: cars drawn at an uneven pace and out of order")
    for level, wanted in ((0.9, "90 to 94 %"), (0.5, "50 ± 2.5")):
        _say(f"spans said to hold {level:.0%} held", f"{np.mean(numbers.held[level]):.2%}", wanted)
        _say("   days that they are long, on average", f"{np.mean(numbers.days[level]):.1f}")
    _say_restored()
    _say_wrong()
    for reaches, what in ((False, "from one place"), (True, "with reaches to be paid for")):
        ratios = [one.engine / one.best for one in looks_tried(reaches=reaches)]
        print(f"\nlooks {what}, {POLICY_GUIDES} guides of 8 marks and 24 slots, against the best possible policy")
        _say("mean effort, times the best", f"{np.mean(ratios):.4f}", "at most 1.02")
        _say("worst", f"{max(ratios):.4f}", "at most 1.10")
    model = demo_model()
    print("\nthe demo guide, on 300 cars drawn from its model (reported)")
    for reach, what in (((), "everything allowed"), (("outside", "glass"), "from outside and through the glass")):
        drawn = try_model(model, 300, 7, reach=reach)
        _say(f"{what}: 90 % spans held", f"{drawn.held_nine:.1%}")
        _say("   50 % spans held", f"{drawn.held_half:.1%}")
        _say("   period named right", f"{drawn.right:.1%}")
        _say("   looks until it stops", f"{drawn.looks:.1f}")
    for card, what in (
        (key_of(model).card.card(16), "walk-round card"),
        (printed_card(), "the card as printed, two sides,"),
    ):
        _say(f"{what} of {len(card.marks)} marks: right", f"{card.right:.1%}")
        _say("   the key with the same answers", f"{card.key_right:.1%}")
        _say("   both name the same period", f"{card.agree:.1%}")


if __name__ == "__main__":
    main()

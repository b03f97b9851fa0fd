"""Papers that give an order and no date, copies that were to be had on and off, and a lid sold to go over a part."""

from __future__ import annotations

from guide.dating.apart_sentences import verdicts
from guide.dating.belief.evidence import Answer, Session
from guide.dating.dated import Dated
from guide.dating.key import Key
from tests.dating.sessions import sessions
from tests.papers.laid import Laid
from tests.twins.alike import compare

LID = Answer("ash-tray", ("lid",))

LAID = "order-without-dates"


def dated(key: Key, *answers: Answer) -> Dated:
    return key.dated(Session(answers))


def test_nothing_but_missing_drawings_is_found(laid: Laid) -> None:
    assert {finding.code for finding in laid.worked.findings} == {"missing-picture"}


def test_an_order_without_a_date_is_a_plain_sentence(laid: Laid) -> None:
    visor = laid.words_of("marks/sun-visor.html")
    assert "“Vinyl” came in after “Square” (Roof lamp) 1 and before “Knob” (Inner door handle) 1." in visor
    assert "“Foam” came in after “Vinyl” 2." in visor
    assert "Foam First after “Vinyl” Club register Stands." in visor
    tray = laid.words_of("marks/ash-tray.html")
    assert "“Plated” came in together with “Vinyl” (Sun visor) 1." in tray


def test_a_copy_that_was_made_twice_has_both_times(laid: Laid) -> None:
    said = "Also made as a reproduction from 1975 to 1979. Again since 1988. From a new tool."
    assert said in laid.words_of("marks/ash-tray.html")


def test_a_lid_says_what_it_goes_over(laid: Laid) -> None:
    sold, over = "Sold by other makers from 1962 to 1970.", "It goes over the ash tray and dash panel"
    assert f"{sold} {over}: what is beneath can’t be seen." in laid.words_of("marks/ash-tray.html")


def test_what_a_lid_lies_over_counts_as_not_seen(key: Key) -> None:
    """Nothing follows from the lid, nothing stands apart for it, and nobody is asked what is under it."""
    nothing, lid = dated(key), dated(key, LID)
    assert lid.figures.periods == nothing.figures.periods
    assert [(verdict, one.chance) for one, verdict in verdicts(lid)] == [("covered", 0.0)]
    names = [one.id for one in key.model.marks]
    asked = {names[look.mark] for look in nothing.looks}
    assert asked - {names[look.mark] for look in lid.looks} == {"ash-tray", "dash-panel"}


def test_who_looks_beneath_is_heard(key: Key) -> None:
    beneath = Answer("dash-panel", ("crackle",))
    assert dated(key, LID, beneath).figures.periods == dated(key, beneath).figures.periods
    both = Answer.of("ash-tray", ("lid", "tin"))
    assert dated(key, both).figures.periods == dated(key, Answer("ash-tray", ("tin",))).figures.periods


def test_browsers_date_such_a_car_alike(key: Key, node: str) -> None:
    asked = [Session((LID,)), *sessions(key.model, 30, seed=4)]
    assert compare(node, key.model, asked) == []

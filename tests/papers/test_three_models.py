"""Three models in one guide: two built side by side, the third after a gap; parts of their own, and two of all."""

from __future__ import annotations

import pathlib
import re
from typing import Any

import pytest

from guide.dating.belief.evidence import Answer, Session
from guide.dating.result_sentences import result_sentences
from guide.facts.types import Guide
from guide.sentence import in_turn
from tests.browser.site import open_page, settle
from tests.dating.sessions import sessions
from tests.papers.laid import Laid
from tests.told import told
from tests.twins.alike import compare

LAID = "three-models"


@pytest.fixture
def guide(laid: Laid) -> Guide:
    assert laid.worked.guide is not None
    return laid.worked.guide


def test_nothing_is_found_wrong(laid: Laid) -> None:
    assert laid.findings == ""


def test_how_we_know_says_which_model_stood_still(laid: Laid) -> None:
    words = laid.words_of("how-we-know.html")
    assert "20 July to 12 August 1962, Saloon only: the saloons’ line was moved (Club register)." in words
    assert "21 December 1963 to 9 February 1964, Light commercials only: a strike among the van builders" in words


def test_each_model_has_its_own_production_and_periods(guide: Guide) -> None:
    assert [(one.series, [period.id for period in one.periods]) for one in guide.models] == [
        (("saloon",), ["early", "late"]),
        (("truck", "van"), ["van-one", "van-two", "van-three"]),
        (("tourer",), ["tourer-one", "tourer-two"]),
    ]
    assert [one.production.made for one in guide.models] == [1200, 800, 300]
    assert (guide.production.first.year, guide.production.last.year, guide.production.made) == (1960, 1968, 2300)


def test_a_model_s_cars_are_built_in_its_own_days(laid: Laid) -> None:
    assert laid.worked.limits is not None
    lines = laid.worked.limits.lines
    days = {name: (str(line.earliest_day(0)), str(line.latest_day(line.cars - 1))) for name, line in lines.items()}
    assert days["saloon"] == ("1960-03-01", "1963-10-31")
    assert days["van"] == ("1961-06-01", "1965-12-31")
    assert days["tourer"] == ("1967-04-01", "1968-09-30")


def test_browsers_date_its_cars_alike(laid: Laid, node: str) -> None:
    assert laid.worked.key is not None
    model = laid.worked.key.model
    assert compare(node, model, list(sessions(model, 60, seed=11))) == []


def test_which_model_it_is_is_asked_first(laid: Laid) -> None:
    assert laid.worked.key is not None
    look = laid.worked.key.dated(Session()).next
    assert look is not None
    mark = laid.worked.key.model.marks[look.mark]
    assert (mark.id, mark.question) == ("body", "Which model is it?")
    assert [form.answer for form in mark.forms] == [
        "A fixed roof and windows all round",
        "No fixed roof",
        "An open bed behind the cab",
        "No windows behind the doors",
    ]


def chances(laid: Laid, *answers: tuple[str, str], car: str | None = None) -> dict[str, float]:
    """Return the periods that such a car can be of, with their chances."""
    assert laid.worked.key is not None
    dated = laid.worked.key.dated(Session(tuple(Answer(mark, (form,)) for mark, form in answers), car))
    names = [one.id for one in laid.worked.key.model.periods]
    return {name: chance for name, chance in zip(names, dated.figures.periods, strict=False) if chance > 0.01}


def test_once_the_model_is_known_only_its_own_periods_are_left(laid: Laid) -> None:
    assert list(chances(laid, ("body", "van"))) == ["van-one", "van-two", "van-three"]
    assert list(chances(laid, ("body", "tourer"))) == ["tourer-one", "tourer-two"]
    assert list(chances(laid, car="T100")) == ["van-two"]
    assert list(chances(laid)) == ["early", "late", "van-one", "van-two", "van-three", "tourer-one", "tourer-two"]


def test_a_part_of_all_models_dates_each_within_its_own_days(laid: Laid) -> None:
    """The handle changed while the vans' builders were on strike; no saloon had the knob, every tourer has."""
    knob = chances(laid, ("body", "van"), ("door-handle", "knob"))
    assert max(knob, key=lambda name: knob[name]) == "van-three"
    early = chances(laid, ("body", "saloon"), ("horn-push", "plain"))
    assert early["early"] > 0.7


def test_a_period_is_counted_among_those_of_its_model(laid: Laid) -> None:
    assert laid.worked.key is not None
    said = told(in_turn(result_sentences(laid.worked.key.dated(Session(car="T100")))))
    assert "“Second vans” (1963), the second of three." in said


def test_periods_stand_under_their_models_and_are_told_apart_within_them(laid: Laid) -> None:
    periods = laid.words_of("periods.html")
    assert "Saloon 1,200 cars, built 1 March 1960 to 31 October 1963. Early saloon" in periods
    assert "Light commercials 800 cars, built 1 June 1961 to 31 December 1965. First vans" in periods
    assert [name for name in laid.site if name.startswith("apart/")] == [
        "apart/early-or-late.html",
        "apart/van-one-or-van-two.html",
        "apart/van-one-or-van-three.html",
        "apart/van-two-or-van-three.html",
        "apart/tourer-one-or-tourer-two.html",
    ]


def test_each_model_has_a_card_with_its_own_columns_and_parts(laid: Laid) -> None:
    cards = laid.site["card.html"].decode("utf-8").split('<form class="card')[1:]
    parts = [re.findall(r'<span class="part">([^<]+)', card) for card in cards]
    assert parts == [["Roof lamp", "Horn push"], ["Load fixing", "Horn push", "Inner door handle"], ["Hood clip"]]
    columns = [re.findall(r'<div class="each"><a[^>]*>([^<]+?) *<', card) for card in cards]
    assert columns[0] == ["Early saloon", "Late saloon"]
    assert columns[2] == ["First tourers", "Second tourers"]
    assert "Which model is it? Saloon Light commercials Tourer" in laid.words_of("card.html")
    style = laid.site["data/card.css"].decode("utf-8")
    assert ".adds-up-2 { counter-reset: period-3 1 period-4 0 period-5 1; }" in style


def test_the_timeline_keeps_to_a_model_where_one_is_asked_for(laid: Laid) -> None:
    every = laid.words_of("timeline.html")
    assert "Everything By model Saloon Light commercials Tourer By period" in every
    assert (
        every.index("Of several models") < every.index("Horn push 1 plain, 2 bird") < every.index("Load fixing Truck")
    )
    own = laid.words_of("timeline/model-2.html").split("The same in figures")[1]
    assert "Load fixing" in own
    assert "Roof lamp" not in own
    assert "Lever → to Knob February 1964 (T111 and V401) December 1963 (T110 and V400)" in own
    assert "Inner door handle" not in laid.words_of("timeline/model-1.html")
    assert "Load fixing" not in laid.words_of("timeline/period-late.html")


def test_the_band_of_a_part_of_one_model_spans_that_model_s_days(laid: Laid) -> None:
    page = laid.site["marks/load-fixing.html"].decode("utf-8")
    assert ">1965<" in page
    assert ">1960<" not in page
    assert ">First vans<" in page


@pytest.fixture(scope="module")
def folder(laid: Laid, tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """The site as it lies on a disk."""
    out = tmp_path_factory.mktemp("site")
    for name, data in laid.site.items():
        (out / name).parent.mkdir(parents=True, exist_ok=True)
        (out / name).write_bytes(data)
    return out


def asked(page: Any) -> str:
    """Return the question on the screen, and press nothing."""
    settle(page)
    return str(page.locator('[data-screen="look"] h1').inner_text())


@pytest.mark.browser
def test_the_key_asks_for_the_model_first_and_dates_each_within_it(chromium: Any, folder: pathlib.Path) -> None:
    """What was said at a glance, and where nothing was, the first question, is which model it is."""
    with open_page(chromium, has_touch=True) as watched:
        page = watched.page
        for body, period in (("saloon", "Late saloon"), ("van", "Third vans"), ("tourer", "Second tourers")):
            page.goto("about:blank")
            page.goto((folder / "key.html").as_uri())
            page.get_by_role("button", name="Start looking").tap()
            assert "Which model is it?" in asked(page)
            page.locator(f'[data-screen="look"] [data-answer="{body}"]').click()
            later = {"roof-lamp": "square", "load-fixing": "rails", "hood-clip": "pressed"}
            later |= {"door-handle": "lever" if body == "saloon" else "knob", "horn-push": "bird", "body": body}
            find = "heading => guide.model.marks.find(mark => heading.startsWith(mark.question)).id"
            for _ in range(6):
                settle(page)
                if page.locator('[data-screen="result"]').is_visible():
                    break
                mark = page.evaluate(find, asked(page))
                page.locator(f'[data-screen="look"] [data-answer="{later[mark]}"]').click()
            settle(page)
            said = page.locator('[data-screen="result"]').text_content()
            assert re.search(rf"“{period}”( \([^)]+\))?, the", said), said
        assert watched.faults == []
        assert watched.outside == []


@pytest.mark.browser
def test_each_card_adds_itself_up(chromium: Any, folder: pathlib.Path) -> None:
    with open_page(chromium, has_touch=True) as watched:
        page = watched.page
        page.goto((folder / "card.html").as_uri())
        page.locator('#card-2 input[name="load-fixing"]').nth(1).check(force=True)
        heard = [page.locator(f"#card-{at} [data-heard]").inner_text() for at in (1, 2, 3)]
        assert (heard[0], heard[2]) == ("", "")
        assert heard[1].startswith("First vans")
        assert watched.faults == []

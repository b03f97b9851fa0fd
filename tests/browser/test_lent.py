"""What scripts show in another of the guide's languages is marked as that, whichever script shows it."""

from __future__ import annotations

import pathlib
from typing import Any

import pytest

from guide.command.work import make_guide
from guide.press.theme import open_theme
from tests.browser.site import open_page, serving
from tests.starting import change, started
from tests.told import ENGLISH

pytestmark = pytest.mark.browser

LAMP = """name: {en: Roof lamp, de: Dachleuchte}
question: What shape is the lamp in the roof?
look: {en: Above the mirror., de: Über dem Spiegel.}
reach: glass
survives: most
forms:
  round: {name: {en: Round, de: Rund}, answer: A round lamp, stated: [{last: S598, source: parts-list}]}
  square: {name: Square, answer: A square lamp, stated: [{first: S590, source: parts-list}]}
"""


@pytest.fixture(scope="module")
def german(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    """The site in German of a guide typed in English, one part of which has its German."""
    folder = tmp_path_factory.mktemp("lent")
    content = started(folder, {"marks/roof-lamp.yml": LAMP})
    change(content, "guide.yml", "language: en-GB", "language: en-GB\nalso in: [de]")
    worked, site = make_guide(content, open_theme(), stop_on="errors", language="de")
    assert site is not None, [finding.line(ENGLISH) for finding in worked.findings]
    for name, data in site.items():
        (folder / "out" / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / "out" / name).write_bytes(data)
    return folder / "out"


def language_of(page: Any, text: str) -> list[str]:
    """Return the language of each thing in sight that shows a text."""
    found: list[str] = page.evaluate(
        """(text) => {
          const found = [], texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
          while (texts.nextNode()) {
            const around = texts.currentNode.parentElement;
            const shown = !around.closest("script, template") && around.getClientRects().length;
            if (shown && texts.currentNode.data.includes(text)) {
              found.push(around.closest("[lang]").lang);
            }
          }
          return found;
        }""",
        text,
    )
    return found


def test_the_key_and_the_fits_say_which_of_their_words_are_english(chromium: Any, german: pathlib.Path) -> None:
    with serving(german) as served, open_page(chromium) as watched:
        page = watched.page
        page.goto(f"{served.address}fits.html#--car=S700")
        page.locator("text=Dachleuchte >> visible=true").first.wait_for()
        assert set(language_of(page, "square")) | set(language_of(page, "Square")) == {"en-GB"}
        assert set(language_of(page, "Dachleuchte")) == {"de"}
        page.goto(f"{served.address}key.html")
        page.locator("form button[type=submit]").first.click()
        page.wait_for_selector("h1 bdi")
        assert page.locator("h1 bdi[lang=en-GB]").count() == 1, "a question, alone"
        for text in ("What shape is", "A round lamp", "A square lamp"):
            assert set(language_of(page, text)) == {"en-GB"}
        page.get_by_text("A square lamp").first.click()
        page.get_by_text("A round lamp").first.wait_for(state="hidden")
        assert set(language_of(page, "quare lamp")) <= {"en-GB"}, "and inside a sentence"
        assert watched.faults == []

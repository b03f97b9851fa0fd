"""`build.py preview`: the guide kept in memory and shown in a browser, anew at every save."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from guide.command.calls import Call, CallIsOff, words_of
from guide.command.handing_over import handing_over_page
from guide.command.sent import sent_page
from guide.command.unforeseen import unforeseen
from guide.command.window import say
from guide.command.work import Worked, begin_guide
from guide.facts.records.letters_kept import read_letters
from guide.finding import Finding
from guide.press.cache import Cache
from guide.press.disclosed import disclosed, disclosed_page
from guide.press.handing_over import handing_over
from guide.press.kept import folder_beside
from guide.press.make import Making
from guide.press.preview import Built, NoPort, serve_preview
from guide.press.told_findings import FOR_EDITOR
from guide.words.say import Words

__all__ = ["run"]


def run(call: Call) -> int:
    """Show the guide until interrupted; nothing is written but the photographs' cache beside the output folder.

    What is said is said in the language that guide.yml names at the time.
    """
    content = call.content

    def spoken() -> Words:
        return words_of(content)

    def show(said: str | Finding) -> None:
        if isinstance(said, str):
            say(said, call.printed)
        else:
            replace(call, words=spoken()).print_findings((said,))

    last: Worked | None = None
    cache = Cache(folder_beside(call.out))

    def build() -> Built:
        nonlocal last
        worked, making = begin_guide(content, call.theme, cache, last, language=call.language)
        last = worked if worked.key is not None else last
        return making, (*worked.findings, *read_letters(content, date.today())[1])

    def own(page: Callable[[Making], bytes]) -> Callable[[], bytes | None]:
        """Return what makes a page for the editor alone of what would be published now."""

        def made() -> bytes | None:
            _, making = begin_guide(content, call.theme, cache, last, for_editor=False, language=call.language)
            return None if making is None else page(making)

        return made

    pages = (
        lambda making: disclosed_page(disclosed(making.shelf, making.whole(), content), spoken()),
        lambda making: sent_page(content, making.shelf, spoken()),
        lambda making: handing_over_page(handing_over(making.shelf, making.findings, content, spoken()), spoken()),
    )
    try:
        serve_preview(
            build,
            (content, *call.theme.layers),
            spoken=spoken,
            net=unforeseen,
            own=dict(zip(FOR_EDITOR, map(own, pages), strict=True)),
            show=show,
            port=call.options.port,
            open_browser=not call.options.no_browser,
        )
    except NoPort as error:
        raise CallIsOff(error.says) from None
    return 0

"""`build.py handing-over`: one page for whoever takes the guide over; private, like letters."""

from __future__ import annotations

from guide.command.calls import Call
from guide.command.check import print_errors
from guide.command.private_file import check_private, write_private
from guide.command.window import say_parts
from guide.command.work import begin_guide
from guide.press.cache import Cache
from guide.press.handing_over import Part, handing_over, handing_over_json, heading_of
from guide.press.kept import folder_beside
from guide.press.told_findings import parts_page
from guide.words.say import Words

__all__ = ["handing_over_page", "run"]


def handing_over_page(parts: list[Part], words: Words) -> bytes:
    """Return the page as HTML that loads nothing."""
    headed = [(heading_of(part, words), lines) for part, lines in parts]
    return parts_page(words.say("press.handing.title"), words.say("press.handing.lead"), headed, words)


def run(call: Call) -> int:
    """Print the page, or write it to a file; return 1 where the facts are in error. Raises CallIsOff for a file that
    would be published, or cannot be written."""
    words, to = call.words, call.options.to
    check_private(call)
    worked, making = begin_guide(
        call.content, call.theme, Cache(folder_beside(call.out)), for_editor=False, language=call.language
    )
    if making is None or worked.guide is None:
        return print_errors(worked, call)
    parts = handing_over(making.shelf, worked.findings, call.content, words)
    if to is not None:
        write_private(to, handing_over_page(parts, words).decode())
        call.say("command.handing-over.written", file=str(to))
    elif call.as_json:
        call.print_json(handing_over_json(worked.guide, parts, words))
    else:
        lead = f"{words.say('press.handing.title')}\n{words.say('press.handing.lead')}"
        say_parts(lead, [(heading_of(part, words), lines) for part, lines in parts], call.printed)
    return 0

"""`build.py disclosed`: what goes out of a guide that is not prose, for people or for machines; nothing is written."""

from __future__ import annotations

from guide.command.calls import Call
from guide.command.check import print_errors
from guide.command.window import say_parts
from guide.command.work import begin_guide
from guide.press.cache import Cache
from guide.press.disclosed import disclosed, disclosed_json, told
from guide.press.kept import folder_beside

__all__ = ["run"]


def run(call: Call) -> int:
    """Make the guide in memory and say what would go out; return 1 where errors keep it from being made."""
    worked, making = begin_guide(
        call.content, call.theme, Cache(folder_beside(call.out)), for_editor=False, language=call.language
    )
    if making is None:
        return print_errors(worked, call)
    found = disclosed(making.shelf, making.whole(), call.content)
    if call.as_json:
        call.print_json(disclosed_json(found))
    else:
        say_parts(call.words.say("press.disclosed.lead"), told(found, call.words), call.printed)
    return 0

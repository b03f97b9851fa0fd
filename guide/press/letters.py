"""Letters as one page to print, each on sheets of its own: private, and no part of any site."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from jinja2 import StrictUndefined
from markupsafe import Markup

from guide.pages.parts.letter_lines import Letter, by_said, from_said, lead_of
from guide.press.layers import Inheriting, Layers
from guide.press.policy import policy_of
from guide.press.theme import Theme
from guide.words.say import Words

__all__ = ["letters_printed"]

_STYLES = ("style/look.css", "style/letter.css")


def letters_printed(letters: Sequence[Letter], facts: Mapping[str, Any], words: Words, theme: Theme) -> str:
    """Return the theme's ``letters.html`` filled with some letters, which loads nothing and runs nothing.

    It finds ``letters``, ``facts``, ``styles``, ``policy``, ``language``, ``say(id, **slots)``, ``by(line, letter)``
    (whose word a line is, in brackets), ``edition_of(letter)`` (which edition it is of) and ``lead(section)``.
    """
    environment = Inheriting(
        Layers(theme),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        finalize=words.shown,
    )
    held = theme.styles()
    styles = "\n".join(held[name].decode("utf-8") for name in _STYLES if name in held)
    return environment.get_template("letters.html").render(
        letters=letters,
        facts=facts,
        styles=Markup(styles),
        policy=Markup(policy_of(styles)),
        language=words.language,
        say=words.say,
        by=lambda line, letter: by_said(line, letter.sources),
        edition_of=lambda letter: from_said(letter, facts),
        lead=lead_of,
    )

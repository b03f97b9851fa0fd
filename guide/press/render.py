"""Lays pages out with the theme's templates.

Every template finds, besides its page's own context:

``guide``, ``shelf``, ``words``
    the facts, everything worked out, and the sentences (`guide.words.say.Words`: dates, spans, lists);
``page``
    the `Address` of this page: ``kind``, ``id``, ``path``, ``title``;
``say(id, **slots)``
    a sentence in the guide's language;
``to(kind, id="", part="")``
    the link from here to a page, or to a part of it; ``has(kind, id="")``: whether there is one;
``asset(name)``
    the link from here to another output file (``style/look.css``, ``data/model.json``);
``scripts(*names)``
    the elements that load these scripts with all that they need, in order (`guide.press.scripts`);
``root``
    "" at the top, "../" one folder down: what goes before an output name to get there from here;
``drawing(file, label="")``
    a picture of the pictures folder, inline; ``label`` is for those who cannot see it, none hides it;
``prose(text, record, level=3)``
    the editor's Markdown as HTML; ``record`` is what it belongs to, ``level`` that of its highest headings;
``| lower_first``, ``| upper_first``
    a name as it stands inside a sentence, words as they begin one.
"""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import Any

from jinja2 import (
    Environment,
    FileSystemLoader,
    StrictUndefined,
    TemplateError,
    TemplateRuntimeError,
    TemplateSyntaxError,
)
from markupsafe import Markup

from guide.finding import Finding, Place
from guide.pages.parts.naming import relative_link
from guide.pages.shelf import Address, Page, Shelf
from guide.press.drawings import inline_drawing
from guide.press.markdown import Job, Prose
from guide.press.scripts import Scripts, output_name
from guide.words.say import lower_first, upper_first

__all__ = ["Renderer"]


class Renderer:
    """Turns pages into HTML; what it finds wrong gathers in ``findings``, each once."""

    def __init__(self, shelf: Shelf, theme: Path, scripts: Scripts | None = None) -> None:
        self.shelf = shelf
        self.theme = theme
        self.scripts = Scripts(theme) if scripts is None else scripts
        self.findings: dict[Finding, None] = {}
        self._prose = Prose(tuple(dict.fromkeys(kind for kind, _ in shelf.places)), shelf.guide.language)
        self._environment = Environment(
            loader=FileSystemLoader(theme / "pages"),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
            finalize=shelf.words.shown,
        )
        self._environment.filters.update(lower_first=lower_first, upper_first=upper_first)
        self._environment.globals.update(
            guide=shelf.guide, shelf=shelf, words=shelf.words, say=shelf.say, has=self._has
        )

    def render(self, page: Page, address: Address) -> bytes:
        """Return one page; an empty one with a finding when the theme's template cannot be used."""
        try:
            template = self._environment.get_template(page.template)
            context = page.context(self.shelf, address)
            text = template.render({**self._globals(address), **context})
        except TemplateError as error:
            self._add(self._broken(page.template, error))
            return b""
        for finding in context.get("findings", ()):
            self._add(finding)
        return text.encode("utf-8")

    def _globals(self, here: Address) -> dict[str, Any]:
        def to(kind: str, identity: str = "", part: str = "") -> str:
            there = self.shelf.places.get((kind, identity))
            if there is None:
                why = self.shelf.say("press.theme.no-page", kind=repr(kind), id=repr(identity))
                raise TemplateRuntimeError(why)
            end = f"#{part}" if part else ""
            return end if there.path == here.path and part else relative_link(here.path, there.path) + end

        def asset(name: str) -> str:
            return relative_link(here.path, name)

        def picture(file: str, label: str = "") -> Markup | None:
            return self._picture(here, file, label)

        def drawing(file: str, label: str = "") -> Markup:
            return picture(file, label) or Markup("")

        def prose(text: str, record: Any, level: int = 3) -> Markup:
            return self._text(text, record, level, to, picture)

        def scripts(*names: str) -> Markup:
            fresh = [name for name in self.in_order(names) if name not in loaded]
            loaded.update(fresh)
            return Markup("\n").join(self._script(here, name) for name in fresh)

        loaded: set[str] = set()
        return {
            "page": here,
            "to": to,
            "asset": asset,
            "drawing": drawing,
            "prose": prose,
            "scripts": scripts,
            "root": "../" * here.path.count("/"),
        }

    def in_order(self, names: tuple[str, ...]) -> tuple[str, ...]:
        """Return scripts with what they need, in order. Raises TemplateRuntimeError for one that is not there."""
        try:
            return self.scripts.in_order(names)
        except LookupError as error:
            raise TemplateRuntimeError(error.args[0]) from None

    def _script(self, here: Address, name: str) -> Markup:
        late = "" if self.scripts.is_early(name) else Markup(" defer")
        return Markup('<script src="{}"{}></script>').format(relative_link(here.path, output_name(name)), late)

    def _has(self, kind: str, identity: str = "") -> bool:
        return (kind, identity) in self.shelf.places

    def _picture(self, here: Address, file: str, label: str) -> Markup | None:
        if file in self.shelf.drawings:
            return Markup(inline_drawing(self.shelf.drawings[file], label))
        if file in self.shelf.photographs:
            photograph = self.shelf.photographs[file]
            return Markup(
                f'<img class="photograph" src="{relative_link(here.path, photograph.path)}" '
                f'alt="{escape(label)}" width="{photograph.width}" height="{photograph.height}"'
                ' loading="lazy">'
            )
        return None

    def _text(
        self, text: str, record: Any, level: int, to: Callable[..., str], picture: Callable[[str, str], Markup | None]
    ) -> Markup:
        if not text.strip():
            return Markup("")

        def link(kind: str, identity: str) -> str | None:
            return to(kind, identity) if self._has(kind, identity) else None

        job = Job(text, getattr(record, "id", "guide"), record.place, level, link, picture)
        markup = Markup(self._prose.render(job))
        for finding in job.findings:
            self._add(finding)
        return markup

    def _broken(self, template: str, error: TemplateError) -> Finding:
        line = error.lineno if isinstance(error, TemplateSyntaxError) else _line_in(error, template)
        name = error.name if isinstance(error, TemplateSyntaxError) and error.name else template
        return Finding.of("press.theme-broken", Place(f"{self.theme.name}/pages/{name}", line), why=str(error))

    def _add(self, finding: Finding) -> None:
        self.findings.setdefault(finding)


def _line_in(error: TemplateError, template: str) -> int:
    """Return the line of the template that an error while filling it in came from."""
    line, trace = 1, error.__traceback__
    while trace is not None:
        if trace.tb_frame.f_code.co_filename.endswith(template):
            line = trace.tb_lineno
        trace = trace.tb_next
    return line


def stub(shelf: Shelf, here: str, there: Address) -> bytes:
    """Return a page for an old address that leads on to the new one, with or without scripts."""
    link, title = escape(relative_link(here, there.path)), escape(there.title)
    return (
        f'<!doctype html><html lang="{escape(shelf.guide.language)}"><head><meta charset="utf-8">'
        f'<meta http-equiv="refresh" content="0; url={link}"><link rel="canonical" href="{link}">'
        '<meta name="robots" content="noindex">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{title}</title></head>"
        f'<body><p>{escape(shelf.say("pages.moved"))} <a href="{link}">{title}</a></p></body></html>\n'
    ).encode()

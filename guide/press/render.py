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
``scripts(*names)``
    the elements that load these scripts with all that they need, in order (`guide.press.scripts`);
``about``
    where a guide knows its own address, what the page says of itself: ``address``, ``description``, ``picture``,
    ``linked`` (JSON-LD), ``feed`` (the link to the feed of editions), ``elsewhere`` (the same
    page in other languages, with what leads to it in each of them); else None;
``face``
    the theme's colours, logo and favicon (`guide.press.face.Face`);
``edition_said``, ``fingerprint``
    which edition this is, as it is printed; the fingerprint in it (`guide.press.fingerprint`);
``edition_mark``
    the edition's mark, by which a host's pages are known to be of one edition (`guide.press.offline`);
``lent``
    whether some texts are in another language than the page's: the script ``lent`` marks those that scripts show;
``root``
    "" at the top, "../" one folder down: what goes before an output name to get there from here;
``correct(claim="")``
    the link by which what this page claims is corrected, "" where the guide names no place for that;
``drawing(file, label="")``
    a picture of the pictures folder, inline; ``label`` is for those who cannot see it, none hides it;
``larger(file, label="")``
    the same, a photograph as a link to it in full width (the script ``larger`` opens it over the page);
``prose(text, record, level=3)``
    the editor's Markdown as HTML; ``record`` is what it belongs to, ``level`` that of its highest headings;
``| lower_first``, ``| upper_first``
    a name as it stands inside a sentence, words as they begin one.
"""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

from jinja2 import StrictUndefined, TemplateError, TemplateNotFound, TemplateSyntaxError
from markupsafe import Markup

from guide.facts.values import Text
from guide.finding import Finding, Place
from guide.pages.kinds.downloads import OFFERED
from guide.pages.listing import CARRIED
from guide.pages.parts.corrections import correction_link
from guide.pages.parts.described import described
from guide.pages.parts.lent import lent_texts
from guide.pages.parts.linked_data import linked_data
from guide.pages.parts.naming import absolute_link, relative_link
from guide.pages.parts.printed_edition import UNPRINTED, edition_said
from guide.pages.shelf import Address, Context, Drawing, Page, Photograph, Shelf, once
from guide.press.compiled import COMPILED
from guide.press.drawings import inline_drawing
from guide.press.face import Face, face_of
from guide.press.feed import FEED, has_feed
from guide.press.layers import Inheriting, Layers
from guide.press.markdown import DEEPEST_ITEM, Job, Prose
from guide.press.offline import UNMARKED
from guide.press.scripts import Scripts, ThemeFault
from guide.press.theme import Theme
from guide.sentence import Value, sentence
from guide.words.languages import languages
from guide.words.say import words_of_pages

__all__ = ["Renderer"]

_UNDESCRIBED = ("missing", "single")  # not to be found by others: it stands for no page, or for many
_SHOWN_WIDTH = "(min-width: 56rem) 24rem, 92vw"  # of a photograph, as the themes lay it out
_FALLIBLE = (*"[<|", " " * 2 * DEEPEST_ITEM)  # a text without any of these has no link, picture, table or deep list


@once
def _carried(shelf: Shelf, page: Page, address: Address) -> Context:
    """Return the context of a page that the single file shows once more."""
    return page.context(shelf, address)


class Renderer:
    """Turns pages into HTML; what it finds wrong gathers in ``findings``, each once."""

    def __init__(self, shelf: Shelf, theme: Theme, scripts: Scripts | None = None, face: Face | None = None) -> None:
        self.shelf = shelf
        self.theme = theme
        self.face = face_of(theme) if face is None else face
        self.scripts = Scripts(theme) if scripts is None else scripts
        self.said: list[Finding] = []  # what was found, in order, the same again and again
        self._base = urlsplit(shelf.guide.address).path
        self._prose = Prose(
            tuple(dict.fromkeys(kind for kind, _ in shelf.places)),
            shelf.guide.language,
            names_language=bool(lent_texts(shelf)),
        )
        self._by_path = {address.path: address for address in shelf.places.values()}
        layers, words = Layers(theme), shelf.words
        self._environment = Inheriting(
            layers,
            bytecode_cache=COMPILED,
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
            finalize=words.shown,
        )
        for path, line, block, near in layers.strange_blocks(self._environment):
            fault = sentence(f"press.theme.no-block{'.near' if near else ''}", block=block, near=near)
            self.add(Finding.of("press.theme-broken", Place(theme.shown(path), line), why=fault))
        self._environment.filters.update(lower_first=words.lower_first, upper_first=words.upper_first)
        self._environment.globals.update(
            guide=shelf.guide,
            shelf=shelf,
            words=words,
            say=words.say,
            has=self.has,
            face=self.face,
            edition_said=edition_said(shelf),
            lent=bool(lent_texts(shelf)),
            edition_mark=UNMARKED,
            fingerprint=UNPRINTED,
        )

    @property
    def findings(self) -> dict[Finding, None]:
        """What is wrong, each once, in order."""
        return dict.fromkeys(self.said)

    def compile(self) -> None:
        """Compile every template, so that a second process has them from here; what is wrong with one is found where it
        is filled in."""
        for name, _ in self.theme.templates():
            with suppress(TemplateError, UnicodeDecodeError):
                self._environment.get_template(name)

    def render(self, page: Page, address: Address) -> bytes:
        """Return one page; an empty one with a finding when the theme's template cannot be used."""
        try:
            return self.fill(page.template, page, address, self.globals_of(address)).encode("utf-8")
        except TemplateError as error:
            self.add(self._broken(page.template, error))
            return b""

    def fill(self, template: str, page: Page, address: Address, given: Mapping[str, Any]) -> str:
        """Return a template filled in with what a page at an address is made from. Raises TemplateError."""
        context = self._context_of(page, address)
        if template == page.template:  # a whole page: what carries a part of one along has no head of its own
            given = {**given, "about": self._about(address, context)}
        text = self._environment.get_template(template).render({**given, **context})
        for finding in context.get("findings", ()):
            self.add(finding)
        return text

    def _context_of(self, page: Page, address: Address) -> Context:
        if page.kind in CARRIED:
            return _carried(self.shelf, page, self.shelf.places[page.kind, address.id])
        return page.context(self.shelf, address)

    def look_over(self, texts: Iterable[tuple[str, Any]]) -> None:
        """Find what is wrong with texts, each with its record, as printing them would; nothing is printed."""
        here = Address("start", "", "index.html", "")
        for text, record in texts:
            if _is_fallible(text):
                self._text(here, text, record, 3, lambda file, label: self._picture(here, file, label))

    def globals_of(self, here: Address) -> dict[str, Any]:
        """Return what the templates of one page find besides its context."""

        def to(kind: str, identity: str = "", part: str = "") -> str:
            there = self.shelf.places.get((kind, identity))
            link = None if there is None else self.link(here, there, part)
            if link is None:
                raise ThemeFault(sentence("press.theme.no-page", kind=repr(kind), id=repr(identity)))
            return link

        def picture(file: str, label: str = "") -> Markup | None:
            return self._picture(here, file, label)

        def drawing(file: str, label: str = "") -> Markup:
            return picture(file, label) or Markup("")

        def larger(file: str, label: str = "") -> Markup:
            return self.larger(here, file, label)

        def prose(text: str, record: Any, level: int = 3) -> Markup:
            return self._text(here, text, record, level, picture)

        def correct(claim: Value = "") -> str:
            return correction_link(self.shelf, here, self.shelf.words.tell(claim))

        def scripts(*names: str) -> Markup:
            return Markup("\n").join(self.scripted(here, self.scripts.in_order(names), loaded))

        loaded: set[str] = set()
        return {
            "page": here,
            "to": to,
            "drawing": drawing,
            "larger": larger,
            "prose": prose,
            "correct": correct,
            "scripts": scripts,
            "root": self._base if here.kind == "missing" else "../" * here.path.count("/"),
        }

    def link(self, here: Address, there: Address, part: str = "") -> str | None:
        """Return the link from one page to another, or to a part of it; None where it has no place to lead to."""
        end = f"#{part}" if part else ""
        return end if there.path == here.path and part else self.way(here, there.path) + end

    def way(self, here: Address, name: str) -> str:
        """Return the link from a page to an output name."""
        return absolute_link(self._base, name) if here.kind == "missing" else relative_link(here.path, name)

    def _about(self, here: Address, context: Context) -> dict[str, Any] | None:
        """Return what a page that is published at a known address says of itself in its head."""
        where = self.shelf.guide.address
        if not where or here.kind in _UNDESCRIBED:
            return None
        said, path = described(self.shelf, here, context), "" if here.kind == "start" else here.path
        return {
            "address": absolute_link(where, path),
            "description": said,
            "picture": absolute_link(where, self.face.sharing) if self.face.sharing else "",
            "feed": self.way(here, FEED) if has_feed(self.shelf.guide) else "",
            "sites": [(tag, absolute_link(base, path)) for tag, base in self.shelf.guide.sites],
            "elsewhere": [
                (tag, absolute_link(base, path), _in_its_language(tag))
                for tag, base in self.shelf.guide.sites
                if tag != self.shelf.guide.language
            ],
            "linked": Markup(linked_data(self.shelf, here, context, said)),
        }

    def drawn(self, drawing: Drawing) -> Drawing:
        """Return a drawing as it stands where a page shows it."""
        return drawing

    def scripted(self, here: Address, names: Iterable[str], loaded: set[str]) -> Iterator[Markup]:
        """Yield the elements that run scripts, a file once; ``loaded`` are the files that the page has already."""
        for name in names:
            if (file := self.scripts.file_of(name)) not in loaded:
                loaded.add(file)
                late = "" if self.scripts.is_early(name) else Markup(" defer")
                yield Markup('<script src="{}"{}></script>').format(self.way(here, file), late)

    def has(self, kind: str, identity: str = "") -> bool:
        """Tell whether there is such a page to link to."""
        return (kind, identity) in self.shelf.places

    def _picture(self, here: Address, file: str, label: str) -> Markup | None:
        if file in self.shelf.drawings:
            return Markup(inline_drawing(self.drawn(self.shelf.drawings[file]), label))
        if file in self.shelf.photographs:
            return self.image(here, self.shelf.photographs[file], label)
        return None

    def image(self, here: Address, photograph: Photograph, label: str) -> Markup:
        """Return the element that shows a photograph, in the width that a browser needs."""
        widths = [*photograph.smaller, photograph]
        many = Markup(' srcset="{}" sizes="{}"').format(
            ", ".join(f"{self.way(here, one.path)} {one.width}w" for one in widths), _SHOWN_WIDTH
        )
        return Markup('<img class="photograph" src="{}"{} alt="{}" width="{}" height="{}" loading="lazy">').format(
            self.way(here, photograph.lightest.path),
            many if len(widths) > 1 else "",
            label,
            photograph.width,
            photograph.height,
        )

    def larger(self, here: Address, file: str, label: str) -> Markup:
        """Return a picture, a photograph as a link to it in full width."""
        photograph = self.shelf.photographs.get(file)
        inside = self._picture(here, file, label) or Markup("")
        if photograph is None or file in self.shelf.drawings:
            return inside
        return Markup('<a href="{}" data-larger data-width="{}" data-height="{}" data-close="{}">{}</a>').format(
            self.way(here, photograph.path),
            photograph.width,
            photograph.height,
            self.shelf.say("pages.picture.close"),
            inside,
        )

    def _text(
        self, here: Address, text: str, record: Any, level: int, picture: Callable[[str, str], Markup | None]
    ) -> Markup:
        if not text.strip():
            return Markup("")
        identity, language = getattr(record, "id", "guide"), text.language if isinstance(text, Text) else ""
        turned: dict[tuple[str, str, str, int], Markup] = self.shelf.known.setdefault(Renderer, {})
        if found := turned.get((text, language, identity, level)):
            return found

        def link(kind: str, identity: str) -> str | None:
            there = self.shelf.places.get((kind, identity))
            return None if there is None else self.link(here, there) or ""

        def page(address: str) -> str | None:
            return self._address_within(here, record, address)

        place = text.place if record is self.shelf.guide and isinstance(text, Text) else record.place
        job = Job(text, identity, place, level, link, page, picture)
        markup = Markup(self._prose.render(job))
        for finding in job.findings:
            self.add(finding)
        if not _is_fallible(text):  # it is the same wherever it stands
            turned[text, language, identity, level] = markup
        return markup

    def _address_within(self, here: Address, record: Any, address: str) -> str | None:
        """Return the link to an address of the guide as it was copied, from whichever of its pages; "" where that stays
        behind; None where there is none. After # alone: a form of the mark whose text it is."""
        path, _, part = address.partition("#")
        name = unquote(posixpath.normpath(path.partition("?")[0])).lstrip("./") if path else ""
        if not path:
            identity = getattr(record, "id", "")
            there = self.shelf.places.get(("mark", identity)) if part in _parts_of(record) else None
        else:
            there = self._by_path.get(name)
        if there is not None:
            return self.link(here, there, part) or ""
        return self.offered(here, name) if name in OFFERED else None

    def offered(self, here: Address, name: str) -> str:
        """Return the link to a file that is offered for downloading; nothing where it stays behind."""
        return relative_link(here.path, name)

    def _broken(self, template: str, error: TemplateError) -> Finding:
        path, line = _where(error, self.theme) or (None, 1)
        shown = f"{self.theme.name}/pages/{template}" if path is None else self.theme.shown(path)
        if isinstance(error, TemplateNotFound):
            found: Value = sentence("press.theme.no-template", name=str(error.name))
        else:
            found = error.says if isinstance(error, ThemeFault) else str(error)
        return Finding.of("press.theme-broken", Place(shown, line), why=found)

    def add(self, finding: Finding) -> None:
        """Gather a finding."""
        self.said.append(finding)


def _is_fallible(text: str) -> bool:
    return any(sign in text for sign in _FALLIBLE)


def _in_its_language(tag: str) -> str:
    """Return what leads to a site in a language, in that language; its tag where nobody has said it yet."""
    return words_of_pages(tag).say("words.of-language") if tag.partition("-")[0] in languages() else tag


def _parts_of(record: Any) -> set[str]:
    """Return the ids that a record's own page has beside those of its texts."""
    return {f"form-{form}" for form in getattr(record, "forms", ())}


def _where(error: TemplateError, theme: Theme) -> tuple[Path, int] | None:
    """Return the template and the line that an error came from, the innermost of those that were being filled in."""
    if isinstance(error, TemplateSyntaxError) and error.filename:
        return Path(error.filename), error.lineno
    folders = [layer / "pages" for layer in theme.layers]
    found, trace = None, error.__traceback__
    while trace is not None:
        path = Path(trace.tb_frame.f_code.co_filename)
        if path.parent in folders:
            found = path, trace.tb_lineno
        trace = trace.tb_next
    return found

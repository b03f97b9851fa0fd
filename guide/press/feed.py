"""The feed of editions: what each tells otherwise than the one before it, for those who want to hear of it.

Atom, RFC 4287. A guide has it that knows its own address and says of which day its edition is: an entry has to say when
it was last changed (4.1.2), and links lead from the address on. Ids are kept for ever (4.2.6): the guide's is minted
once, a name-based UUID (RFC 9562, 5.5), and stands in every edition that is kept; an edition's is made of it and of its
name, never of the address, which may change.
"""

from __future__ import annotations

import uuid
from datetime import date
from functools import partial
from html import escape as quoted

from guide.facts.types import Guide, KeptEdition
from guide.pages.kinds.editions import part_of
from guide.pages.parts.naming import absolute_link
from guide.pages.parts.since import OtherThan, present, steps
from guide.pages.shelf import Shelf

__all__ = ["FEED", "feed_files", "guide_identity", "has_feed"]

FEED = "editions.xml"
_SPACE = "http://www.w3.org/2005/Atom"
escape = partial(quoted, quote=False)


def guide_identity(guide: Guide) -> str:
    """Return the guide's own URN, as the editions before have it; minted of its title for the first."""
    kept = next((one.guide for one in guide.editions if one.guide), "")
    return kept or uuid.uuid5(uuid.NAMESPACE_OID, f"running-change {guide.title}").urn


def has_feed(guide: Guide) -> bool:
    """Tell whether there is a feed."""
    return bool(guide.address) and guide.published.date is not None


def feed_files(shelf: Shelf) -> dict[str, bytes]:
    """Return the feed; nothing where the guide cannot have one."""
    guide = shelf.guide
    if not has_feed(guide):
        return {}
    identity, made = guide_identity(guide), {one.now.name: one for one in steps(shelf)}
    editions = [one for one in (present(shelf), *reversed(guide.editions)) if one.date is not None]
    start = absolute_link(guide.address, "")
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<feed xmlns="{_SPACE}" xml:lang="{quoted(guide.language)}">',
        f"<id>{escape(identity)}</id>",
        f"<title>{escape(guide.title)}</title>",
        f"<updated>{_moment(max(one.date for one in editions if one.date is not None))}</updated>",
        f"<author><name>{escape(guide.contact or guide.title)}</name></author>",
        f'<link rel="self" type="application/atom+xml" href="{quoted(absolute_link(guide.address, FEED))}"/>',
        f'<link rel="alternate" type="text/html" href="{quoted(start)}"/>',
        *(_entry(shelf, identity, one, made.get(one.name)) for one in editions),
        "</feed>",
        "",
    ]
    return {FEED: "\n".join(lines).encode()}


def _moment(when: date | None) -> str:
    """Return a day as the feed has it, an instant of RFC 3339."""
    assert when is not None
    return f"{when.isoformat()}T00:00:00Z"


def _entry(shelf: Shelf, identity: str, edition: KeptEdition, step: OtherThan | None) -> str:
    page = shelf.places.get(("editions", ""))
    path = page.path if page is not None and step is not None else ""
    link = absolute_link(shelf.guide.address, path) + (f"#to-{part_of(edition.name)}" if path else "")
    title = shelf.say("pages.editions.entry", title=shelf.guide.title, edition=edition.name)
    own = uuid.uuid5(uuid.UUID(identity), edition.name).urn
    return "\n".join(
        (
            "<entry>",
            f"<id>{own}</id>",
            f"<title>{escape(title)}</title>",
            f"<updated>{_moment(edition.date)}</updated>",
            f'<link rel="alternate" type="text/html" href="{quoted(link)}"/>',
            f'<content type="html">{escape(_told(shelf, step))}</content>',
            "</entry>",
        )
    )


def _told(shelf: Shelf, step: OtherThan | None) -> str:
    """Return what an edition tells otherwise than the one before it, as HTML."""
    if step is None:
        return f"<p>{escape(shelf.say('pages.editions.first'))}</p>"
    told = [(one.name, one.says) for one in step.parts]
    told += [(shelf.say("pages.editions.numbers", series=one.name), one.says) for one in step.numbers]
    if step.besides:
        told.append((shelf.say("pages.editions.besides"), step.besides))
    if not told:
        return f"<p>{escape(shelf.say('pages.editions.nothing'))}</p>"
    return "".join(
        f"<h3>{escape(name)}</h3><ul>{''.join(f'<li>{escape(shelf.words.tell(one))}</li>' for one in says)}</ul>"
        for name, says in told
    )

"""Where a reader's correction goes: a letter begun, or the club's form, either with what it is about.

A letter is a mailto link with subject and body (RFC 6068, 2); a form is asked for with ``page``, ``claim`` and
``edition`` in its query (RFC 3986, 3.4), which it may put into its own fields.
"""

from __future__ import annotations

from urllib.parse import quote, urlencode, urlsplit, urlunsplit

from guide.pages.parts.naming import absolute_link
from guide.pages.parts.printed_edition import UNPRINTED
from guide.pages.shelf import Address, Shelf

__all__ = ["correction_link"]


def correction_link(shelf: Shelf, page: Address, claim: str = "") -> str:
    """Return the link by which something on a page is corrected, nothing where the guide names no place for it."""
    guide = shelf.guide
    if not guide.corrections:
        return ""
    where = absolute_link(guide.address, page.path) if guide.address else page.path
    edition = f"{guide.edition} ({UNPRINTED})"
    if "://" in guide.corrections:
        form = urlsplit(guide.corrections)
        about = urlencode({"page": where, **({"claim": claim} if claim else {}), "edition": edition}, quote_via=quote)
        return urlunsplit(form._replace(query=f"{form.query}&{about}" if form.query else about))
    lines = [
        shelf.say("pages.correct.page", title=page.title, where=where),
        *([shelf.say("pages.correct.claim", claim=claim)] if claim else []),
        shelf.say("pages.correct.edition", edition=edition),
        "",
        shelf.say("pages.correct.please"),
        "",
        "",
    ]
    subject = shelf.say("pages.correct.subject", title=guide.title, page=page.title)
    body = "\r\n".join(lines)
    return f"mailto:{quote(guide.corrections, safe='@')}?subject={quote(subject, safe='')}&body={quote(body, safe='')}"

"""What a guide that knows its own address (``address:``) has besides: the list of its pages, and where that is.

A host reads robots.txt at its own root alone (RFC 9309, 2.3); in a folder below it does no harm. Sitemap: the protocol
0.9 of sitemaps.org, without dates, since the facts have none for a page.
"""

from __future__ import annotations

from html import escape

from guide.pages.parts.naming import absolute_link
from guide.pages.shelf import Shelf
from guide.press.feed import feed_files

__all__ = ["ROBOTS", "SITEMAP", "address_files"]

SITEMAP, ROBOTS = "sitemap.xml", "robots.txt"
_SPACE = "http://www.sitemaps.org/schemas/sitemap/0.9"
_UNLISTED = ("missing", "search")


def address_files(shelf: Shelf) -> dict[str, bytes]:
    """Return sitemap.xml, robots.txt and the feed; nothing for a guide that does not know its address."""
    where = shelf.guide.address
    if not where:
        return {}
    paths = ["" if one.kind == "start" else one.path for one in shelf.places.values() if one.kind not in _UNLISTED]
    lines = [
        f"<url><loc>{escape(absolute_link(where, path), quote=False)}</loc></url>" for path in dict.fromkeys(paths)
    ]
    listed = "\n".join(
        ('<?xml version="1.0" encoding="UTF-8"?>', f'<urlset xmlns="{_SPACE}">', *lines, "</urlset>", "")
    )
    robots = f"User-agent: *\nAllow: /\nSitemap: {absolute_link(where, SITEMAP)}\n"
    return {SITEMAP: listed.encode(), ROBOTS: robots.encode(), **feed_files(shelf)}

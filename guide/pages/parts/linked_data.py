"""What a page is, for machines: JSON-LD in the vocabulary of schema.org (its core, release 12).

The guide as a whole is a WebSite and a Dataset, every page a TechArticle about one Vehicle, with the BreadcrumbList of
how one gets there. Nothing is said that the page does not show.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from guide.pages.parts.naming import absolute_link
from guide.pages.shelf import Address, Context, Shelf

__all__ = ["linked_data"]

_CONTEXT = "https://schema.org"
_ABOVE = {"mark": "marks", "area": "marks", "forms": "marks", "period": "periods", "interior": "interiors"}
# Of the facts, as they can be downloaded, each with its media type as IANA registers it:
_DOWNLOADS = {
    "changeovers.csv": "text/csv",
    "statements.csv": "text/csv",
    "facts.json": "application/json",
    "limits.json": "application/json",
}


def linked_data(shelf: Shelf, address: Address, context: Context, description: str) -> str:
    """Return the JSON-LD of a page, safe to stand within a script element."""
    graph = list(_things(shelf, address, context, description))
    text = json.dumps({"@context": _CONTEXT, "@graph": graph}, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c")


def _things(shelf: Shelf, address: Address, context: Context, description: str) -> Iterator[dict[str, Any]]:
    guide, start = shelf.guide, absolute_link(shelf.guide.address, "")
    here = absolute_link(guide.address, address.path)
    common = {"inLanguage": guide.language} | _licence(shelf)
    site = {"@type": "WebSite", "@id": f"{start}#site", "name": guide.title, "url": start}
    if address.kind == "start":
        yield site | common | {"description": description}
        yield _dataset(shelf, start, description) | common
        return
    yield {
        "@type": "TechArticle",
        "headline": address.title,
        "description": description,
        "url": here,
        "isPartOf": site,
        "about": {"@type": "Vehicle", "name": guide.car} | _of_vehicle(address, context),
        **common,
        **({"temporalCoverage": _span(context["period"])} if address.kind == "period" else {}),
    }
    way = [*_way(shelf, address), (address.title, here)]
    yield {
        "@type": "BreadcrumbList",
        "itemListElement": [
            {"@type": "ListItem", "position": at, "name": name, "item": link} for at, (name, link) in enumerate(way, 1)
        ],
    }


def _dataset(shelf: Shelf, start: str, description: str) -> dict[str, Any]:
    guide = shelf.guide
    return {
        "@type": "Dataset",
        "@id": f"{start}#facts",
        "name": guide.title,
        "description": description,
        "url": start,
        "version": guide.edition,
        "isAccessibleForFree": True,
        "temporalCoverage": _span(guide.production),
        "distribution": [
            {
                "@type": "DataDownload",
                "encodingFormat": media_type,
                "contentUrl": absolute_link(guide.address, f"downloads/{name}"),
            }
            for name, media_type in _DOWNLOADS.items()
        ],
    }


def _licence(shelf: Shelf) -> dict[str, str]:
    """Return where the licence stands: its SPDX identifier is an address of the SPDX list."""
    return {"license": f"https://spdx.org/licenses/{shelf.guide.licence}"} if shelf.guide.licence else {}


def _span(built: Any) -> str:
    """Return a span of days as ISO 8601 writes it."""
    return f"{built.first.isoformat()}/{built.last.isoformat()}"


def _of_vehicle(address: Address, context: Context) -> dict[str, str]:
    if address.kind != "interior":
        return {}
    interior = context["interior"]
    return {"vehicleInteriorColor": interior.colour, "vehicleInteriorType": interior.material}


def _way(shelf: Shelf, address: Address) -> list[tuple[str, str]]:
    """Return the pages above one, each with its name and address."""
    above = [("start", ""), (_ABOVE.get(address.kind, ""), "")]
    if address.kind == "apart" and address.id:
        above[1] = ("apart", "")
    if address.kind == "mark":
        above.append(("area", shelf.guide.marks[address.id].area))
    found = [shelf.places[one] for one in above if one in shelf.places]
    return [(one.title, absolute_link(shelf.guide.address, "" if one.kind == "start" else one.path)) for one in found]

"""What a page is about, in a sentence or two from the facts: for a search engine's list, and where a link is shared."""

from __future__ import annotations

from guide.pages.shelf import Address, Context, Shelf
from guide.sentence import Value, all_of, in_turn, sentence, upper_first

__all__ = ["described"]

_CHANGES = 3  # of a mark are told; a list shows no more than two or three sentences
_NAMED = 4  # looks that tell two kinds of car apart
_LEADS = {
    "key": "pages.start.beside_hint",
    "card": "pages.downloads.card_says",
    "sheets": "pages.sheets.lead",
    "marks": "pages.marks.lead",
    "interiors": "pages.interiors.lead",
    "care": "pages.care.lead",
    "tally": "pages.tally.lead",
    "sources": "pages.sources.lead",
    "how-we-know": "pages.know.lead",
    "words": "pages.words.lead",
    "a-to-z": "pages.atoz.lead",
    "downloads": "pages.downloads.lead",
    "editions": "pages.editions.described",
    "apart": "pages.apart.lead",
    "fits": "pages.start.have_hint",
    "car": "pages.described.car",
    "notes": "pages.described.notes",
    "record": "pages.described.record",
    "field-sheet": "pages.described.field-sheet",
    "look-for": "pages.look_for.says",
    "nobody-makes": "pages.wanted.lead",
    "part-numbers": "pages.numbers.lead",
}
_OF_NUMBERS = {"search": "pages.start.looking_hint", "side-by-side": "pages.beside.hint"}  # else the same "_words"


def described(shelf: Shelf, address: Address, context: Context) -> str:
    """Return what a page at an address says, given its context, in words."""
    return shelf.words.tell(_told(shelf, address, context))


def _told(shelf: Shelf, address: Address, context: Context) -> Value:
    if address.kind == "mark":
        changes = [change["variants"][0]["says"] for change in context["changes"][:_CHANGES]]
        return in_turn([context["where"], *(changes or [context["tells"]["says"], context["keeps"]])])
    if address.kind == "forms":
        return in_turn([change["variants"][0]["says"] for change in context["changes"][:1]] or [context["lead"]])
    if address.kind == "period":
        period = context["period"]
        return sentence("pages.described.period", name=period.name, when=context["when"], summary=period.summary)
    if address.kind == "interior":
        spans = [upper_first(span["says"]) for span in context["spans"]]
        return sentence("pages.described.interior", name=context["interior"].name, spans=all_of(spans))
    if address.kind == "area":
        names = all_of([row["mark"].name for row in context["rows"]])
        return sentence("pages.described.area", area=context["area"].name, names=names)
    if address.kind == "apart" and address.id and context["drawn"]:
        names = all_of([one.name for one in context["drawn"][:_NAMED]])
        return sentence("pages.described.apart", one=context["one_words"], other=context["other_words"], names=names)
    if address.kind == "seen":
        return in_turn([sentence("pages.described.seen", part=context["mark"].name), *context["changes"][:1]])
    if address.kind == "sheet":
        return sentence("pages.described.sheet", title=address.title, when=context["when"])
    if address.kind == "timeline":
        return sentence("pages.described.timeline", title=address.title, lead=context["lead"])
    if address.kind == "periods":
        count = context["periods"]
        return sentence("pages.periods.lead", n=count, count=upper_first(shelf.words.count(count)))
    if address.kind == "about":
        return str(context["counted"])
    if address.kind in _OF_NUMBERS:
        return sentence(_OF_NUMBERS[address.kind] + ("" if shelf.guide.ordered_series else "_words"))
    return sentence(_LEADS[address.kind]) if address.kind in _LEADS else shelf.guide.subtitle or shelf.guide.title

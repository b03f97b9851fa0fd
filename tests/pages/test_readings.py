"""Which texts pages read: what is kept between runs goes by it."""

from __future__ import annotations

from guide.facts.reads import MARKDOWN, noting
from guide.pages.kinds import walkround
from guide.pages.shelf import Shelf


def test_the_card_reads_no_text_at_length(shelf: Shelf) -> None:
    """It stands in the single file too, and is the dearest page of all: a save of words leaves it as it is."""
    with noting() as read:
        assert walkround.PAGE.context(shelf, shelf.places["card", ""])["cards"]
    assert not MARKDOWN.intersection(name for _, name in read)

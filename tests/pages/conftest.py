"""What the tests of the pages share: the demo guide's shelf."""

from __future__ import annotations

from typing import Any

import pytest

from tests.pages.shelves import shelf_of


@pytest.fixture(scope="session")
def shelf(guide: Any, limits: Any, model: Any) -> Any:
    """Everything the demo guide's pages are made from."""
    from guide.tally.count import derive_tally

    return shelf_of(guide, limits, model, derive_tally(limits))

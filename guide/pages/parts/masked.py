"""A car's number as it may be published."""

from __future__ import annotations

import re
from functools import partial

from guide.facts.types import Guide
from guide.tally.report import Audience

__all__ = ["audience", "masked"]


def masked(guide: Guide, car: str) -> str:
    """Return a number without its last two figures, unless the guide prints them."""
    if not guide.mask_numbers:
        return car
    return re.sub(r"\d{1,2}(?=\D*$)", lambda found: "·" * len(found[0]), car)


def audience(guide: Guide) -> Audience:
    """Return the readers of a guide, as what the cars seen come to is told them."""
    return Audience(partial(masked, guide), whole=not guide.mask_numbers)

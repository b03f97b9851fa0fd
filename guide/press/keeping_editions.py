"""What readers were told in an edition, kept beside the facts once it is published: `guide.facts.records.editions` says
in which shape, and reads it.

A file is written whole or not at all: beside its place, then renamed into it.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from guide.facts.records.editions import FORMAT
from guide.facts.text.folder import EDITIONS
from guide.facts.types import Guide
from guide.finding import Finding, Place
from guide.pages.kinds.downloads import FACTS, LIMITS
from guide.pages.parts.naming import safe_name
from guide.pages.parts.printed_edition import UNPRINTED
from guide.press.feed import guide_identity
from guide.press.offline import mark_of

__all__ = ["keep_edition", "kept_name"]


def kept_name(guide: Guide) -> str:
    """Return the file of an edition in the content folder: that of a further language in a folder of its own."""
    further = guide.language in guide.languages[1:]
    return "/".join((EDITIONS, *([guide.language] if further else []), safe_name(guide.edition, ".json")))


def keep_edition(content: Path, guide: Guide, site: Mapping[str, bytes]) -> tuple[Finding, ...]:
    """Keep what a finished site tells; return why that could not be done."""
    path = content / kept_name(guide)
    data = _kept(guide, site)
    with suppress(OSError):
        if path.read_bytes() == data:
            return ()
    part = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            with part.open("wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            os.replace(part, path)
        finally:
            part.unlink(missing_ok=True)
    except OSError as error:
        why = error.strerror or str(error)
        return (Finding.of("press.edition-not-kept", Place(kept_name(guide)), file=kept_name(guide), why=why),)
    return ()


def _kept(guide: Guide, site: Mapping[str, bytes]) -> bytes:
    limits = json.loads(site[LIMITS])["limits"]
    for edge in (one[end][side] for one in limits for end in ("first", "last") for side in ("earliest", "latest")):
        del edge["because"]
    day = guide.published.date
    value = {
        "format": FORMAT,
        "edition": {"name": guide.edition, "date": None if day is None else day.isoformat()},
        "number": max((one.number for one in guide.editions), default=0) + 1,
        "fingerprint": mark_of(site)[: len(UNPRINTED)],
        "guide": guide_identity(guide),
        "facts": json.loads(site[FACTS]),
        "limits": limits,
    }
    return (json.dumps(value, ensure_ascii=False) + "\n").encode()

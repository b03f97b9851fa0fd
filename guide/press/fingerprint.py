"""A short fingerprint of the facts and the program, which stands beside the edition wherever something is printed.

Two sheets of one edition with one fingerprint say the same; where it differs, facts or program have changed between
them. It is made of what was read and of the program's own texts, of no time, no path and no machine.
"""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

from guide.facts.bones import Outline, outline_of
from guide.facts.types import Guide
from guide.limits.types import LimitsResult
from guide.pages.parts.printed_edition import UNPRINTED
from guide.press.kept import bytes_of, names_in

__all__ = ["fingerprint_of", "outline_known", "program_digest"]

_PACKAGE = Path(__file__).resolve().parent.parent
_TEXTS = (".py", ".js", ".json")


def outline_known(guide: Guide | None, limits: LimitsResult) -> Outline:
    """Return a guide in brief, made once: it is remembered with the limits that were worked out from it."""
    if "outline" not in limits.known:
        limits.known["outline"] = outline_of(guide)
    found: Outline = limits.known["outline"]
    return found


def fingerprint_of(outline: Outline) -> str:
    """Return the fingerprint of a guide in brief: as many hexadecimal figures as what stands for it in
    pages has signs."""
    digest = hashlib.sha256(" ".join((outline.digest, *outline.parts, program_digest())).encode())
    return digest.hexdigest()[: len(UNPRINTED)]


@cache
def program_digest() -> str:
    """Return a digest of the program's own texts, however a machine ends their lines."""
    digest = hashlib.sha256()
    for name in names_in(_PACKAGE):
        # A handbook is printed from the rest; an installed copy has the themes within, a tree beside.
        if name.endswith(_TEXTS) and not name.startswith(("handbook/", "themes/")):
            data = bytes_of(_PACKAGE, name).replace(b"\r\n", b"\n")
            digest.update(f"{name}\0{len(data)}\0".encode() + data)
    return digest.hexdigest()

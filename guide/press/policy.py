"""Content policies (W3C, "Content Security Policy Level 3"): what a page may load and run, said in the page itself.

A page of the theme's says so in its shell. Here are those of pages that stand alone: their styles and scripts are in
them, each allowed by its digest, and nothing else is.
"""

from __future__ import annotations

import base64
import hashlib

__all__ = ["policy_of"]


def policy_of(styles: str = "", *scripts: str, besides: str = "") -> str:
    """Return the policy of a page that holds these texts in elements of their own and runs and loads no others.

    ``besides`` is what else it allows, directives as they are written.
    """
    allowed = " ".join(_digest(text) for text in scripts if text)
    parts = (
        "default-src 'none'",
        f"script-src {allowed}" if allowed else "",
        f"style-src {_digest(styles)}" if styles else "",
        besides,
        "base-uri 'none'",
    )
    return "; ".join(part for part in parts if part)


def _digest(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"

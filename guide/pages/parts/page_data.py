"""Data for pages: JSON that is safe inside an element, and classic scripts that set one property or hand data over."""

from __future__ import annotations

import json
from typing import Any

__all__ = ["call_of", "json_for_page", "script_of", "script_with"]


def json_for_page(value: Any) -> str:
    """Return JSON that is safe inside a script element of a page."""
    return _safe(_dumped(value))


def _dumped(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def _safe(text: str) -> str:
    for sign, escape in (("<", "\\u003c"), ("\u2028", "\\u2028"), ("\u2029", "\\u2029")):
        text = text.replace(sign, escape)
    return text


def script_of(name: str, value: Any) -> bytes:
    """Return a classic script that sets ``guide.NAME``; safe inside a page as well, as a script element."""
    return script_with(name, _dumped(value))


def script_with(name: str, dumped: str) -> bytes:
    """Return `script_of` a value that is compact JSON already."""
    return f"(globalThis.guide=globalThis.guide||{{}}).{name}={_safe(dumped)};\n".encode()


def call_of(function: str, *values: Any) -> bytes:
    """Return a classic script that calls ``guide.FUNCTION``, which is there already; safe as `script_of`."""
    return f"guide.{function}({','.join(map(json_for_page, values))});\n".encode()

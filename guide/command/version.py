"""Which version of the program this is; pyproject.toml reads it from here."""

from __future__ import annotations

__all__ = ["VERSION"]

VERSION = "0.1.0"

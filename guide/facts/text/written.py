"""Values as YAML of the kind that editors type: what is read again is the same, every scalar a text.

A mapping or a list without another in it stands in one line, as editors write it; a text of several lines as a block.
"""

from __future__ import annotations

from typing import Any

import yaml

__all__ = ["as_yaml"]

_WIDTH = 110  # signs to a line


class _Dumper(getattr(yaml, "CSafeDumper", yaml.SafeDumper)):  # type: ignore[misc]
    """Writes no anchors: what is the same twice is typed twice."""

    def ignore_aliases(self, _data: Any) -> bool:
        return True


def _text(dumper: Any, text: str) -> Any:
    return dumper.represent_scalar("tag:yaml.org,2002:str", str(text), style="|" if "\n" in text else None)


_Dumper.add_representer(str, _text)
_Dumper.add_multi_representer(str, _text)


def as_yaml(value: Any) -> str:
    """Return plain mappings, lists and texts as YAML, in their own order."""
    told: str = yaml.dump(
        value, Dumper=_Dumper, allow_unicode=True, sort_keys=False, width=_WIDTH, default_flow_style=None
    )
    return told

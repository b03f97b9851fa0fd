"""Lists what a language lacks, and so says in English: `python -m guide.command.untranslated [LANGUAGE...]`.

For each language named, or for each that there is, every sentence by its id, with its English.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

from guide.words.languages import languages, own_templates, untranslated

__all__ = ["main"]


def main(tags: Sequence[str] = ()) -> int:
    """Print the list; return how many sentences stand in it."""
    english, lacking = own_templates("en"), 0
    for tag in tags or languages():
        for name in untranslated(tag):
            print(f"{tag} {name}: {english[name]}")
            lacking += 1
    return lacking


if __name__ == "__main__":
    sys.exit(1 if main(sys.argv[1:]) else 0)

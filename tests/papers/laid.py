"""Small guides as editors type them, laid over the one that `start` makes: their findings and their pages' words."""

from __future__ import annotations

import html
import pathlib
import re
from collections.abc import Mapping
from dataclasses import dataclass

from guide.command.work import Worked, make_guide
from guide.press.theme import open_theme
from tests.starting import started
from tests.told import ENGLISH

__all__ = ["Laid", "lay"]

HERE = pathlib.Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Laid:
    """A small guide made whole: what was worked out, and its site as it would be written."""

    worked: Worked
    site: Mapping[str, bytes]

    @property
    def findings(self) -> str:
        """Every finding as the terminal shows it."""
        return "\n\n".join(finding.printed(ENGLISH) for finding in self.worked.findings)

    def words_of(self, page: str) -> str:
        """Return the words of a page in their order, white space evened."""
        text = self.site[page].decode("utf-8")
        text = re.sub(r"(?s)<(script|style|svg|title)\b.*?</\1>", " ", text)
        return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split()).replace(" .", ".").replace(" ,", ",")


def lay(name: str, folder: pathlib.Path) -> Laid:
    """Make the guide of a folder beside this file, laid over the starter guide; every page of it must come out."""
    content = started(folder, over=HERE / name)
    for gone in content.rglob("*.gone"):
        gone.with_suffix("").unlink()
        gone.unlink()
    worked, site = make_guide(content, open_theme(), stop_on="errors")
    assert site is not None, "\n\n".join(finding.printed(ENGLISH) for finding in worked.findings)
    return Laid(worked, site)

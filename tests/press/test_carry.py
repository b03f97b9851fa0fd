"""Copies for taking along: the single file stands alone, the archive is the folder, both the same each time."""

from __future__ import annotations

import base64
import hashlib
import io
import pathlib
import re
import zipfile

import pytest

from guide.press.carry import ARCHIVE, SINGLE, zip_of
from guide.press.offline import SPARED


@pytest.fixture(scope="module")
def single(built_guide: pathlib.Path) -> str:
    return (built_guide / SINGLE).read_text(encoding="utf-8")


def test_it_fetches_nothing(single: str) -> None:
    assert re.findall(r'<(?:script|img|iframe|source)[^>]* src="(?!data:)', single) == []
    assert re.findall(r'<link[^>]* href="(?!data:)', single) == []
    assert "@import" not in single
    assert re.findall(r'href="(?!#|https?:|mailto:|data:)([^"]+)"', single) == [], "no link leads out of it"


def test_its_policy_allows_its_own_scripts_and_styles_alone(single: str) -> None:
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]+)"', single)
    assert policy is not None
    allowed = policy[1].replace("&#39;", "'")
    for kind in ("script", "style"):
        for text in re.findall(rf"<{kind}>(.*?)</{kind}>", single, re.DOTALL):
            digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
            assert f"'sha256-{digest}'" in allowed
    assert "unsafe" not in allowed
    assert "default-src 'none'" in allowed


def test_every_link_inside_leads_somewhere(single: str) -> None:
    ids = set(re.findall(r' id="([^"]+)"', single))
    body = re.sub(r"<script>.*?</script>", "", single, flags=re.DOTALL)
    links = set(re.findall(r'href="#([^"]*)"', body)) - {"no-page"}
    assert links - ids == set()
    assert len([identity for identity in ids if identity.startswith("mark-")]) >= 30


def test_each_drawing_stands_in_it_once(single: str, built_guide: pathlib.Path) -> None:
    assert single.count("<symbol ") >= 80
    shapes = re.findall(r"<symbol [^>]*>(.*?)</symbol>", single, re.DOTALL)
    assert len(shapes) == len(set(shapes))
    assert len(single.encode()) < (built_guide / "fits.html").stat().st_size + 600_000


def test_the_archive_holds_the_folder_and_is_the_same_each_time(built_guide: pathlib.Path) -> None:
    with zipfile.ZipFile(built_guide / ARCHIVE) as archive:
        names = {name.removeprefix("guide/") for name in archive.namelist()}
        assert archive.read("guide/index.html") == (built_guide / "index.html").read_bytes()
    files = {path.relative_to(built_guide).as_posix() for path in built_guide.rglob("*") if path.is_file()}
    assert names == files - {ARCHIVE, ".running-change"}
    site = {"b.html": b"two", "a.html": b"one"}
    first, second = zip_of(site)[ARCHIVE], zip_of(dict(reversed(site.items())))[ARCHIVE]
    assert first == second
    assert zipfile.ZipFile(io.BytesIO(first)).namelist() == ["guide/a.html", "guide/b.html"]


def test_the_worker_keeps_all_but_the_copies(built_guide: pathlib.Path) -> None:
    text = (built_guide / "worker.js").read_text(encoding="utf-8")
    kept = dict(re.findall(r'"([^"]+)":"([0-9a-f]{32})"', text.split("\n")[1]))
    files = {path.relative_to(built_guide).as_posix() for path in built_guide.rglob("*") if path.is_file()}
    assert set(kept) == files - {"worker.js", ".running-change", *SPARED}
    for name, digest in kept.items():
        assert hashlib.sha256((built_guide / name).read_bytes()).hexdigest()[:32] == digest

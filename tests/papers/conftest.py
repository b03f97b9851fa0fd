"""The guide that a file is about: its folder here is named by the file's own ``LAID``."""

from __future__ import annotations

import pytest

from guide.dating.key import Key
from tests.papers.laid import Laid, lay


@pytest.fixture(scope="module")
def laid(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Laid:
    return lay(request.module.LAID, tmp_path_factory.mktemp(request.module.LAID))


@pytest.fixture(scope="module")
def key(laid: Laid) -> Key:
    assert laid.worked.key is not None
    return laid.worked.key

"""What the project rests on, as a registry's tool lists it, and that it asks nothing of a network."""

from __future__ import annotations

import socket

import pytest

from tests.conftest import ROOT, reference_library
from tests.trust import RUN_TIME, asked_of_a_network, bill, rests_on

pytestmark = pytest.mark.long


def test_at_run_time_the_project_rests_on_these_packages_and_no_other() -> None:
    reference_library("cyclonedx_py")
    found = rests_on(bill())
    assert {name for name, *_ in found} == RUN_TIME
    assert all(version and licence != "[]" and purl.startswith("pkg:pypi/") for _, version, licence, purl in found)


def test_making_a_guide_asks_nothing_of_a_network() -> None:
    assert asked_of_a_network(["--content", str(ROOT / "guide" / "command" / "starter")]) == []


def test_a_question_to_a_network_is_noticed_in_making_and_in_tests() -> None:
    assert asked_of_a_network([], "import socket; socket.getaddrinfo('tern.example', 80)") == ["tern.example"]
    with pytest.raises(RuntimeError, match=r"tern\.example"):
        socket.getaddrinfo("tern.example", 80)
    with pytest.raises(RuntimeError, match=r"192\.0\.2\.1"), socket.socket() as line:  # RFC 5737: nobody's address
        line.connect(("192.0.2.1", 80))

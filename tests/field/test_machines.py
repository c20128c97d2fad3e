"""Invented machines of many kinds: nothing found where they agree, one planted fault found as one.

Each folder of `machines` is one machine with its boards, its wiring, its configuration in one
style and a table of faults. They differ in chip, supply, probe, sensors, cables and manner of
writing, none of which the rules may depend on.
"""

import pytest
from plant import Fault, clean, complaints, faults, names

from pincheck.api import check

AGREEMENTS = {
    "dunlin": 70,
    "egret": 70,
    "godwit": 90,
    "knot": 50,
    "pintail": 55,
    "plover": 48,
    "redshank": 56,
    "sandpiper": 60,
    "shoveler": 50,
    "smew": 110,
    "shelduck": 48,
    "spoonbill": 54,
    "teal": 65,
    "turnstone": 62,
    "wigeon": 22,
}
"""The least of what has to be compared and found to agree; the rest says why it was not."""


@pytest.mark.parametrize("machine", names())
def test_nothing_is_found_where_a_machine_agrees(machine: str) -> None:
    result = check(*clean(machine))
    assert [finding.message for finding in result.findings] == []
    assert result.problems == ()
    assert result.tally("agrees") >= AGREEMENTS[machine]
    assert all(verdict.reason for verdict in result.verdicts if verdict.state == "not checked")


@pytest.mark.parametrize("fault", list(faults()), ids=lambda fault: f"{fault.machine}-{fault.name}")
def test_one_fault_is_found_as_one_at_its_line_and_mended(fault: Fault, tmp_path) -> None:
    assert complaints(fault, tmp_path) == []

"""`board-not-fed`; what a check says of a smart board is in `tests/circuit/test_measured.py`."""

from pincheck.rules.copper.board_not_fed import _lead

RULE = "board-not-fed"


def smart(pairs):
    return tuple(swap for swap in _lead(pairs) if swap[0].endswith(".toml"))


def test_a_lead_without_ground(machine, ask):
    found = ask(RULE, machine(wiring=smart("[[1, 1], [2, 2]]"))).finding
    assert found.message == "Curlew 1 has no way to ground: nothing on it works."
    assert found.roles == ("aux.fan",)


def test_near_miss_one_wire_of_each(machine, ask):
    asked = ask(RULE, machine(wiring=smart("[[2, 2], [3, 3]]")))
    assert not asked.findings
    assert not asked.unchecked

"""`board-not-fed`; what a check says of a smart board is in `tests/circuit/test_measured.py`."""

import pytest

from pincheck import api
from pincheck.model.finding import Severity
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


CURLEW = "marsh-230-curlew.toml"
LEAD = 'wiring = "straight"\nwire = { awg = 18, length_m = 0.8 }'
NO_FIGURE = ("boards/curlew-1.toml", "supply_v = 24.0\n", "")


def checked(rewired, *replaced):
    """Return the findings and the reasons of what is not checked of a smart board's roles."""
    assembly = rewired(*replaced, assembly=CURLEW)
    result = api.check(api.load_configuration(api.demo("clean/section-curlew")), assembly)
    reasons = {it.role: it.reason for it in result.verdicts if it.state == "not checked"}
    return {it.rule: it for it in result.findings}, reasons


@pytest.mark.parametrize(
    ("pairs", "lacks"),
    [("[[1, 1], [2, 2]]", "has no way to ground"), ("[[3, 3], [4, 4]]", "gets no 24 V")],
)
def test_a_board_that_states_no_supply_is_judged_by_its_rails(rewired, pairs, lacks):
    found, _ = checked(rewired, NO_FIGURE, (CURLEW, LEAD, f"wiring = {pairs}"))
    assert found["board-not-fed"].message == f"Curlew 1 {lacks}: nothing on it works."
    assert "ground-lifted" not in found  # nothing flows on a dead board


def test_near_miss_no_figure_and_both_wires(rewired):
    assert not checked(rewired, NO_FIGURE)[0]


def test_an_input_without_volts_is_never_green(rewired):
    found, reasons = checked(rewired, NO_FIGURE, ("boards/curlew-1.toml", "24V", "VIN"))
    assert "board-not-fed" not in found
    assert reasons["hotend.heater"] == (
        "the file of Curlew 1 gives no supply_v: nobody knows what VIN is to carry"
    )


def test_without_ground_the_current_returns_through_a_signal_wire(rewired):
    """One pin of its power plug is a line to a pin of the main board's chip."""
    line = '\n[[cables]]\nfrom = "main.toolhead"\nto = "tool.power"\nwiring = [[13, 4]]\n'
    cut = LEAD, "wiring = [[1, 1], [2, 2]]\n" + line
    pins = '"24V", "24V", "GND", "GND"', '"24V", "24V", "GND", "SERVO"'
    found, _ = checked(rewired, (CURLEW, *cut), ("boards/curlew-1.toml", *pins))
    assert found["board-not-fed"].severity is Severity.DANGER
    assert "returns through its signal wires" in found["board-not-fed"].message

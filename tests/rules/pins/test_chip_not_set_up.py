"""`chip-not-set-up`."""

import pytest
from attrs import evolve

from pincheck.analysis.case import Case
from pincheck.model.claim import Doubt, PinValue, Place
from pincheck.model.finding import Severity

RULE = "chip-not-set-up"
CURLEW = "marsh-230-curlew.toml"


@pytest.fixture
def second(machine):
    """Return the machine with a fan and a sensor claimed on the second chip, as `name`."""

    def make(*chips: str, name: str = "curlew", doubts: tuple[Doubt, ...] = ()) -> Case:
        pins = {("hotend.fan", "pin"): "gpio3", ("hotend.sensor", "pin"): "gpio26"}
        spots = {s: PinValue(f"{name}:{p}", Place("tool", p)) for s, p in pins.items()}
        case = machine(spots, style="section", assembly=CURLEW)
        claims = evolve(case.claims, chips=frozenset(chips), doubts=doubts)
        return evolve(case, claims=claims)

    return make


def test_a_name_that_nothing_sets_up_stops_the_firmware(second, ask):
    """One finding for the chip, however many of its pins are claimed."""
    found = ask(RULE, second("0", "curlow")).finding
    assert found.severity is Severity.FAULT
    assert set(found.roles) == {"hotend.fan", "hotend.sensor"}
    assert "No chip called 'curlew' is set up" in found.message
    assert "the hot-end fan" in found.message
    assert found.message.endswith("the firmware does not start.")


def test_quiet_where_it_is_set_up(second, ask):
    assert not ask(RULE, second("0", "curlew")).outcomes


def test_near_miss_the_main_chip_needs_no_name(second, ask):
    assert not ask(RULE, second("0", name="mcu")).outcomes


def test_a_file_not_sent_may_set_it_up(second, ask):
    assert not ask(RULE, second("0", doubts=(Doubt("rest.cfg was not sent"),))).outcomes


def test_a_fragment_that_sets_up_no_chip_is_for_a_machine_that_does(second, ask):
    assert not ask(RULE, second()).outcomes

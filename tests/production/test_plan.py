"""The plan of a board: what it measures, what it finds on a spoilt unit."""

import csv
import io
import json
import math
import tomllib

import pytest

from pincheck import api
from pincheck.production import plan_files
from pincheck.production.judge import judged
from pincheck.production.plan import plan
from pincheck.wiring import load_board


def planned(name):
    """Return the plan of one of the demo's boards."""
    return plan(load_board(api.demo(f"boards/{name}.toml")))


def right(made):
    """Return the readings of a unit that is right: a value inside every band."""
    return {
        it.id: 1.0 if not it.unit else math.inf if it.high is None else it.high for it in made.tests
    }


def test_every_pin_of_a_net_is_joined_to_its_first_and_neighbours_are_apart():
    """Of the breakout: ribbon to sockets; two nets side by side, of which a bridge is a short."""
    tests = {it.id: it for it in planned("lapwing-c").tests}
    fan = tests["joined link.7 hotend_fan.2"]
    # A contact at most 30 mohm and leads of 0.5 ohm.
    assert (fan.low, fan.high, fan.unit) == (None, 0.53, "ohm")
    assert (
        tests[
            "apart link.16 link.14" if "apart link.16 link.14" in tests else "apart link.14 link.16"
        ].low
        == 1e6
    )
    # Electronics between supply and ground may read as little as 100 ohm.
    assert tests["apart link.14 link.16"].low == 1e6
    # Electronics between supply and ground may read as little as 100 ohm.
    assert tests["apart link.1 link.11"].low == 100
    reached = {end for it in tests.values() for end in (it.one, it.two)}
    board = load_board(api.demo("boards/lapwing-c.toml"))
    for connector in board.connectors.values():
        for number, net in enumerate(connector.pins, 1):
            assert not net or f"{connector.name}.{number}" in reached


def test_resistors_and_rails_have_bands_and_what_no_pin_reads_is_said():
    """The probe's pull-up of 4.7 k to 5 V; the thermistor's goes to a rail on no connector."""
    made = planned("curlew-1")
    pull = next(it for it in made.tests if it.kind == "resistance")
    assert (pull.one, pull.two) == ("probe.5", "probe.2")
    # 4.7 k and 1 %, leads of 0.5 ohm; at the low end the divider's path through the chip beside it.
    assert pull.high == pytest.approx(4700 * 1.01 + 0.5, abs=1)
    assert pull.low < 4700 * 0.99
    volts = {it.one: (it.low, it.high) for it in made.tests if it.unit == "V"}
    assert volts["power.1"] == (22.8, 25.2)
    assert "the resistor on TH: no two pins read it" in made.untested


def test_a_unit_passes_when_it_was_read_whole_and_is_right():
    """A single reading that is off fails it, a single one that is missing keeps it from passing."""
    made = planned("curlew-1")
    good = right(made)
    assert judged(made, "1", good).state == "passed"
    for test in made.tests:
        spoilt = {"": 0.0, "V": 0.0, "ohm": 0.0 if test.low else math.inf}[test.unit]
        assert judged(made, "1", {**good, test.id: spoilt}).failed == (test.id,)
        some = {id_: value for id_, value in good.items() if id_ != test.id}
        assert judged(made, "1", some).state == "incomplete"


def test_the_plan_is_the_same_in_every_form(contract):
    """JSON, TOML and CSV for a jig."""
    made = planned("heron-2")
    document = json.loads(plan_files.as_json(made))
    contract("production-plan").validate(document)
    assert tomllib.loads(plan_files.as_toml(made)) == document
    table = list(csv.DictReader(io.StringIO(plan_files.as_csv(made))))
    assert [row["id"] for row in table] == [test["id"] for test in document["tests"]]
    assert all(
        row["high"] == str(t.get("high", ""))
        for row, t in zip(table, document["tests"], strict=True)
    )
    assert len({it.id for it in made.tests}) == len(made.tests)

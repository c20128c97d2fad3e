"""The walk with a simulated machine on the line: each fault at the bench is seen by it."""

from functools import cache

import pytest

from pincheck import api
from pincheck.bench import walk
from pincheck.bench.by_port import MOST_C, Machine
from pincheck.bench.dialogue import by_line
from pincheck.bench.record import WalkRecord
from pincheck.console.port import SerialPort
from pincheck.console.talk import Talk
from tests.bench_walk.simulated import PseudoTerminal, Simulated, Wire

STYLES = ["define", "section", "gcode"]
SENSORS = {"hot-end sensor in a hand": "T", "bed sensor in a hand": "B"}
SWITCHES = {
    "x endstop answers": "x",
    "y endstop answers": "y",
    "probe signal answers": "probe",
    "filament sensor answers": "filament",
}


@cache
def result(style):
    machine = api.load_configuration(api.demo("clean") / style)
    return api.check(machine, api.load_wiring(api.demo("marsh-230-c.toml")))


@pytest.fixture(autouse=True)
def steps_worked_out_once(monkeypatch):
    """The same steps of the same machine are solved anew for each walk; here they are kept."""
    monkeypatch.setattr("pincheck.bench.record.walk", kept)


@cache
def kept_of(style, room_c):
    return walk(result(style), room_c)


def kept(checked, room_c):
    return kept_of(checked.claims.style, room_c)


class Person:
    """Does at the simulated machine what the walk says, and answers what can be seen there."""

    def __init__(self, record, machine, leaves=()):
        self.record, self.machine, self.leaves = record, machine, leaves
        self.title, self.heard, self.agreed = "", [], []

    def told(self, lines):
        for line in lines:
            self.heard.append(line)
            if ", power " in line and " of " in line:
                self.title = line.partition(": ")[2]
                self.machine.held = self.machine.pressed = ""
            if "begins again" in line:
                self.machine.held = self.machine.pressed = ""
            if line.startswith(("Press it now", "Pull the filament")):
                self.machine.pressed = SWITCHES[self.title]

    def asked(self, question):
        if question.startswith("Enter once you hold") and self.title not in self.leaves:
            self.machine.held = SENSORS[self.title]
            return ""
        if question.startswith("type send"):
            self.agreed.append(self.title)
            return "skip" if self.title in self.leaves else "send"
        step = next(s for s in self.record.all_steps if s.title == self.title)
        if self.title in self.leaves:
            return "skip"
        if step.unit:
            low = step.low if step.low is not None else 0.0
            return f"{(low + step.high) / 2:.2f}" if step.high is not None else "open"
        if self.title.endswith("put back"):
            self.machine.plugged = True
            self.machine.pause(1200)
        if self.title == "part fan turns":
            return "yes" if any(self.machine.fans.values()) else "no"
        return "yes"

    @property
    def said(self):
        return "\n".join(self.heard)


def walked(style, connect=None, leaves=(), **faults):
    simulated = Simulated(style, **faults)
    record = WalkRecord(result(style))
    person = Person(record, simulated, leaves)
    line = connect or (lambda: Talk(Wire(simulated), simulated))
    by_line(record, person, Machine(record, person, line, simulated))
    return record, person, simulated


@pytest.mark.parametrize("style", STYLES)
def test_a_right_machine_is_walked_to_the_end(style):
    record, person, simulated = walked(style)
    assert record.wrong == ()
    assert record.open_steps == ()
    assert person.heard[-2] == "Every step is as it should be."
    assert simulated.target_c == {"T": 0.0, "B": 0.0}
    assert not any(simulated.fans.values())
    # The heater's time comes from the machine: 12 J/K, 0.12 W/K and 40 W from 25 to 48 C take
    # 7 s in the block, and the sensor's lag of 3 s on top (by the lumped model).
    assert 7 <= record.judgement(step(record, "hotend.heater warms")).reading <= 14


def step(record, name):
    return next(s for s in record.all_steps if s.id == name)


@pytest.mark.parametrize("style", STYLES)
def test_nothing_is_switched_heated_or_moved_without_a_word_of_its_own(style):
    everything = tuple(s.title for s in WalkRecord(result(style)).all_steps if s.asks in CHANGING)
    record, person, simulated = walked(style, leaves=everything)
    assert person.agreed == [s.title for s in record.all_steps if s.commands and s.asks in CHANGING]
    questions = {s.commands[0] for s in record.all_steps if s.asks not in CHANGING and s.commands}
    assert set(simulated.got) <= {"M110 N0", "M115", *questions}


CHANGING = ("sent", "warms")


@pytest.mark.parametrize("style", STYLES)
def test_exchanged_sensors_are_seen_in_a_hand(style):
    record, person, _ = walked(style, swapped=True)
    assert record.wrong[0].startswith("hot-end sensor in a hand: it is not as it should be")
    assert "It is bed.sensor that rose." in person.said
    assert "warms" not in person.title


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("name", ["x", "probe"])
def test_an_inverted_switch_is_seen_and_nothing_homes(style, name):
    record, person, simulated = walked(style, inverted=frozenset((name,)))
    assert "triggered while nobody touches it" in person.said
    assert len(record.wrong) == 1
    assert not any(line.startswith("G28") for line in simulated.got)


@pytest.mark.parametrize("style", STYLES)
def test_a_dead_fan_is_seen(style):
    record, _, simulated = walked(style, dead=frozenset(("fan",)))
    assert record.wrong[0].startswith("part fan turns: it is not as it should be")
    assert not any("60" in line for line in simulated.got)


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("fault", ["dead", "loose"])
def test_a_heater_that_its_sensor_does_not_feel_is_off_before_anything_gets_hot(style, fault):
    """Half the longest time of the band is 10 s: 40 W put 33 K into 12 J/K by then."""
    record, person, simulated = walked(style, **{fault: frozenset("T")})
    assert record.wrong[0].startswith("hot-end heater warms to 48 C: it is not as it should be")
    assert "hotend.sensor does not rise: off." in person.said
    assert simulated.target_c["T"] == 0.0
    assert simulated.block_c["T"] < 65


def test_nothing_is_heated_whose_sensor_broke_as_the_heater_was_put_back():
    _, person, simulated = walked("define", breaks=frozenset("T"))
    assert "hotend.sensor shows -15.0 C: no heat before that is right." in person.said
    assert "M104 S60" not in simulated.got


def test_heaters_exchanged_are_off_as_soon_as_the_other_sensor_rises():
    record, person, simulated = walked("define", leaves=tuple(SENSORS), swapped=True)
    assert "bed.sensor rises: off." in person.said
    assert record.wrong[0].startswith("hot-end heater warms to 48 C: it is not as it should be")
    assert simulated.target_c["T"] == 0.0


@pytest.mark.parametrize("style", STYLES)
def test_a_silent_port_is_told_and_the_walk_goes_on_by_hand(style):
    record, person, _ = walked(style, silent=True)
    assert "no answer to" in person.said
    assert "the line is silent" in person.said
    assert record.judgement(step(record, "hotend.sensor shown")).state == "agrees"


def test_a_line_that_garbles_loses_and_waits_does_nothing_twice():
    garbled = {"garble": frozenset(range(5, 400, 7)), "lose": frozenset(range(8, 400, 11))}
    record, _, simulated = walked("define", busy=2, **garbled)
    assert record.wrong == ()
    moves = [line for line in simulated.got if line.startswith("G1")]
    assert len(moves) == 3


@pytest.mark.parametrize("at", [3, 40])
def test_a_controller_that_starts_anew_is_said_and_asked_again(at):
    record, person, simulated = walked("define", reset_at=at)
    assert "the controller started anew" in person.said
    assert record.wrong == ()
    assert simulated.target_c == {"T": 0.0, "B": 0.0}


def test_never_is_more_sent_than_a_hand_stands():
    record, person, simulated = walked("define")
    machine = Machine(record, person, lambda: Talk(Wire(simulated), simulated), simulated)
    for line in ("M104 S61", "M109 T1 S200", "SET_HEATER_TEMPERATURE HEATER=extruder TARGET=90"):
        with pytest.raises(Exception, match=f"above {MOST_C:g} C"):
            machine._send((line,))
    assert not any("61" in line or "200" in line for line in simulated.got)


def on(line, patience_s):
    """Open the pseudo-terminal as the command opens a device."""
    return Talk(SerialPort(line.device, 115200), line.machine, patience_s)


@pytest.mark.parametrize("style", STYLES)
def test_over_a_pseudo_terminal_the_walk_is_the_same(style):
    simulated = Simulated(style)
    line = PseudoTerminal(simulated)
    record = WalkRecord(result(style))
    person = Person(record, simulated)
    by_line(record, person, Machine(record, person, lambda: on(line, 8.0), simulated))
    assert record.wrong == ()
    assert record.open_steps == ()


def test_a_port_that_vanishes_is_said_and_the_walk_goes_on_by_hand():
    simulated = Simulated("section")
    line = PseudoTerminal(simulated, vanish_after=20)
    record = WalkRecord(result("section"))
    person = Person(record, simulated)
    by_line(record, person, Machine(record, person, lambda: on(line, 0.3), simulated))
    assert f"{line.device} is gone" in person.said
    assert "Switch the machine off" in person.said


def test_a_device_that_is_not_there_is_one_sentence():
    _, person, _ = walked("section", connect=lambda: SerialPort("/dev/no-such-line", 115200))
    assert "! /dev/no-such-line cannot be opened: " in person.said

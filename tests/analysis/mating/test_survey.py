"""What wrong matings do, each current worked out by hand."""

import re

import pytest

from pincheck import api
from pincheck.analysis.mating.prevention import plug_danger, prevention
from pincheck.analysis.mating.survey import survey
from pincheck.model import limits

MAIN = """
[board]
name = "Bittern"
chip = "stm32f401rct6"
supply_v = 24
supply_max_a = {supply_a}
[nets.HEAT]
chip_pin = "PC8"
switch = {{ side = "low", max_a = 8, rds_on_mohm = 10 }}
[nets.FAN]
chip_pin = "PB6"
switch = {{ side = "low", max_a = 1, rds_on_mohm = 50 }}
[nets.TH]
chip_pin = "PC5"
pullup = {{ ohm = 4700, to_v = 3.3 }}
[nets.SIG]
chip_pin = "PA5"
series_ohm = 1000
[nets.5V]
max_a = 1.0
[connectors.spare]
pins = ["24V", "HEAT", "FAN", "TH", "SIG", "5V"]
{connectors}
"""


def socket(name: str, *pins: str, more: str = "keyed = false") -> str:
    listed = ", ".join(f'"{pin}"' for pin in pins)
    return f"[connectors.{name}]\npitch_mm = 2.54\ncontact_a = 3\npins = [{listed}]\n{more}\n"


def fitted(role: str, at: str, part: str, more: str = "") -> str:
    return (
        f'[fit.{role.replace(".", "_")}]\nrole = "{role}"\nat = "{at}"\npart = "{part}"\n{more}\n'
    )


@pytest.fixture
def machine(tmp_path):
    """Return a maker of an assembly of one mainboard, its sockets and what is in them."""

    def make(sockets, fits, *, boards="", supply_a=10, parts="", **others):
        text = MAIN.format(connectors=sockets, supply_a=supply_a)
        (tmp_path / "main.toml").write_text(text)
        for name, board in others.items():
            (tmp_path / f"{name}.toml").write_text(board)
        file = tmp_path / "m.toml"
        file.write_text(
            f'[assembly]\nname = "M"\n{parts}[boards]\nmain = "main.toml"\n{boards}\n{fits}'
        )
        return api.load_wiring(file)

    return make


def found(assembly, how):
    """Return the harms of the mating called so, as (kind, text), worst first."""
    it = next(it for it in survey(assembly).found if any(m.how == how for m in it.matings))
    return [(harm.kind, harm.text) for harm in it.harms]


def test_a_fan_turned_round_gets_its_supply_the_wrong_way(machine):
    """24 V over 240 ohm and 0.05 ohm x 1.6 of the switch: 0.1 A backwards when the fan is on."""
    it = machine(socket("fan", "24V", "FAN"), fitted("part.fan", "main.fan", "fan-24v-0a1"))
    assert found(it, "turned round") == [("dies", "the part fan gets 24 V the wrong way round")]
    (one,) = (each for each in survey(it).found if each.dangerous)
    assert one.harms[0].current_a == pytest.approx(0.1, rel=0.01)
    assert one.harms[0].pins == (
        "supply of part_fan on pin 2 (FAN)",
        "switched of part_fan on pin 1 (24V)",
    )
    assert found(it, "shifted by one pin towards pin 1") == [
        ("dead", "the part fan gets no supply")
    ]


def test_a_heater_turned_round_does_no_harm(machine):
    """A resistor does not mind; moved by one pin it has one wire."""
    it = machine(
        socket("heat", "24V", "HEAT"), fitted("hotend.heater", "main.heat", "heater-24v-40w")
    )
    assert found(it, "turned round") == []
    assert not survey(it).dangerous
    assert plug_danger(it) == ""


def test_a_heater_between_supply_and_ground_heats(machine):
    """Moved by one pin the heater is on 24 V and ground: 24^2 / 14.4 ohm = 40 W."""
    it = machine(
        socket("heat", "24V", "HEAT", "24V", "GND"),
        fitted("hotend.heater", "main.heat", "heater-24v-40w", "pins = [2, 3]"),
    )
    kind, text = found(it, "shifted by one pin towards pin 4")[0]
    assert kind == "heats"
    watts = float(re.search(r"with ([\d.]+) W whatever", text)[1])
    assert watts == pytest.approx(40, rel=0.02)


def test_a_contact_between_5_v_and_ground_takes_all_that_the_converter_gives(machine):
    """An NC end stop on GND and 5V: the 5 V converter's 1 A is the limit, not 5 V / 0.1 ohm."""
    it = machine(
        socket("stop", "SIG", "GND", "5V"),
        fitted("x.endstop", "main.stop", "endstop-switch-nc"),
    )
    kind, text = found(it, "turned round")[0]
    assert (kind, text) == ("dies", "5V of Bittern is shorted: 1 A, all that it gives")


def test_a_supply_on_a_chip_pin_goes_through_its_diode(machine):
    """Moved by one pin the closed contact lies between 24V and SIG. The diode holds the pin at
    3.3 + 0.6 V, so (24 - 3.9) V / (1000 + 10 + 0.1) ohm = 19.9 mA flow.
    """
    it = machine(
        socket("stop", "24V", "SIG", "GND"),
        fitted("x.endstop", "main.stop", "endstop-switch-nc", "pins = [2, 3]"),
    )
    harms = found(it, "shifted by one pin towards pin 1")
    assert harms[0] == (
        "dies",
        "PA5 of Bittern gets 19.9 mA through its protection diode, good for 5 mA",
    )


TOOL = """
[board]
name = "Snipe"
chip = "rp2040"
supply_v = 24
[nets.LED]
chip_pin = "gpio2"
[connectors.power]
pitch_mm = 2.54
contact_a = 3
keyed = {keyed}
pins = ["24V", "GND"]
[connectors.led]
pins = ["LED", "GND"]
"""


def powered(machine, keyed="false"):
    return machine(
        socket("power", "24V", "GND"),
        '[[cables]]\nfrom = "main.power"\nto = "tool.power"\nwire = { awg = 24, length_m = 1 }\n',
        boards='tool = "tool.toml"',
        tool=TOOL.format(keyed=keyed),
    )


def test_a_board_with_a_chip_gets_its_supply_the_wrong_way(machine):
    """Turned round at either end it is the same, once; nothing else can go wrong."""
    it = powered(machine)
    (one,) = (each for each in survey(it).found if each.mating.kind == "turned")
    assert [m.connector for m in one.matings] == [("main", "power"), ("tool", "power")]
    assert ("dies", "Snipe gets its supply the wrong way round") in [
        (harm.kind, harm.text) for harm in one.harms
    ]
    assert plug_danger(it).startswith("A plug can burn or destroy something: main.power turned")
    assert "Only a keyed housing prevents it" in plug_danger(it)


def test_what_only_one_end_prevents_is_not_prevented(machine):
    """The mainboard's end can still be turned, and is named first."""
    (one,) = survey(powered(machine, keyed="true")).dangerous
    assert one.mating.connector == ("main", "power")
    assert not one.prevented
    assert {m.connector: m.prevented_by for m in one.matings} == {
        ("main", "power"): (),
        ("tool", "power"): ("keyed",),
    }


def test_a_symmetrical_plug_may_be_turned(machine):
    """24V GND GND 24V joins the same both ways: it is no wrong mating at all."""
    it = machine(
        socket("out", "24V", "GND", "GND", "24V"),
        '[[cables]]\nfrom = "main.out"\nto = "tool.in"\n',
        boards='tool = "t.toml"',
        t='[board]\nname = "T"\n[connectors.in]\npins = ["24V", "GND", "GND", "24V"]\n',
    )
    assert {each.mating.kind for each in survey(it).found} == {"shifted"}


def test_two_sockets_of_one_family_are_exchanged(machine):
    """A heater on a fan's output is driven by what nobody regulates: and its 1.7 A in a switch of
    1 A."""
    it = machine(
        socket("heat", "24V", "HEAT", more="keyed = true")
        + socket("fan", "24V", "FAN", more="keyed = true"),
        fitted("hotend.heater", "main.heat", "heater-24v-40w")
        + fitted("part.fan", "main.fan", "fan-24v-0a1"),
    )
    (one,) = survey(it).dangerous
    assert one.mating.how == "exchanged with fan"
    texts = [harm.text for harm in one.harms]
    assert texts[0] == "the hot-end heater hangs where the part fan belongs"
    # 24 V / (14.4 + 0.05 x 1.6 + contacts) ohm
    assert any(re.match(r"the switch of FAN carries 1\.6\d A and stands 1 A", t) for t in texts)
    assert prevention(it, one.mating) == "another coding, pitch or count of pins on heat or fan"
    coded = machine(
        socket("heat", "24V", "HEAT", more='keyed = true\ncoding = "A"')
        + socket("fan", "24V", "FAN", more="keyed = true"),
        fitted("hotend.heater", "main.heat", "heater-24v-40w")
        + fitted("part.fan", "main.fan", "fan-24v-0a1"),
    )
    assert not survey(coded).dangerous


def test_a_free_position_can_prevent_it_too(machine):
    """Of four pins the third is free: filled, it would meet pin 2 of a turned plug."""
    it = machine(
        socket("fan", "24V", "FAN", "", "GND"),
        fitted("part.fan", "main.fan", "fan-24v-0a1"),
    )
    (turned,) = (each.mating for each in survey(it).found if each.mating.kind == "turned")
    assert prevention(it, turned) == "a keyed housing, or position 3 cut off and filled"


def test_of_a_housing_that_nobody_described_a_check_says_nothing(machine):
    """No advice on what is not known; the command lists it and says that it is not stated."""
    it = machine(
        socket("fan", "24V", "FAN", more=""), fitted("part.fan", "main.fan", "fan-24v-0a1")
    )
    assert plug_danger(it) == ""
    (turned,) = survey(it).dangerous
    assert prevention(it, turned.mating) == (
        "a keyed housing (the board file does not say whether there is one)"
    )


def test_the_demo_can_destroy_nothing():
    """All its plugs with a supply have a key and a wall; without them the ribbon could do harm."""
    it = api.load_wiring(api.demo("marsh-230-c.toml"))
    assert plug_danger(it) == ""
    whole = survey(it)
    assert not whole.dangerous
    ribbon = [each for each in whole.found if each.mating.connector == ("main", "toolhead")]
    assert all(each.prevented for each in ribbon)
    assert any(each.dangerous for each in ribbon)


def test_more_matings_than_are_solved_are_counted(machine, monkeypatch):
    """What is left out is said, and is no clean answer."""
    it = machine(socket("fan", "24V", "FAN"), fitted("part.fan", "main.fan", "fan-24v-0a1"))
    every = len(survey(it).found)
    assert survey(it, most=1).left_out == every - 1
    monkeypatch.setattr(limits, "MATING_WIRES", 1)
    assert len(survey(it).found) == 1
    assert plug_danger(it)
    monkeypatch.setattr(limits, "WIRES_AT_A_CHECK", 1)
    assert plug_danger(it) == ""


def test_a_bare_contact_on_a_fans_socket_shorts_its_switch(machine):
    """24 V over an NC end stop (0.1 ohm), two contacts and the closed switch: the supply's 10 A, in
    a switch of 1 A. A part with an open terminal is no reason to fail."""
    it = machine(
        socket("fan", "24V", "FAN", more="keyed = true")
        + socket("stop", "SIG", "GND", more="keyed = true"),
        fitted("part.fan", "main.fan", "fan-24v-0a1")
        + fitted("x.endstop", "main.stop", "endstop-switch-nc"),
    )
    (one,) = survey(it).dangerous
    texts = [harm.text for harm in one.harms]
    assert any(it.startswith("24V of Bittern is shorted: 10 A, all that it gives") for it in texts)
    assert any(it.endswith("stands 1 A") for it in texts)
    assert not any("made for 0 V" in text for text in texts)
    assert plug_danger(it) == ""  # of exchanged plugs only the command tells


def test_a_terminal_that_is_left_open_is_no_wire_of_the_plug(machine, tmp_path):
    """A three-wire fan with its tachometer open: nothing is said of that wire."""
    (tmp_path / "parts.toml").write_text(
        '[fan-open]\nkind = "fan"\nrated_v = 24\ncurrent_a = 0.1\n'
        'terminals = ["supply", "switched", ""]\n'
    )
    it = machine(
        socket("fan", "24V", "FAN", "GND"),
        '[fit.f]\nrole = "part.fan"\nat = "main.fan"\npart = "fan-open"\n',
        parts='parts = ["parts.toml"]\n',
    )
    words = [pin for each in survey(it).found for harm in each.harms for pin in harm.pins]
    assert words
    assert not any(word.startswith(" of") or "wire 3" in word for word in words)

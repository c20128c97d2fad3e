"""What the copper does for every role, and what is wrong in it."""

import pytest
from wiring_machines import cable, connector, fit, machine

from pincheck import resources
from pincheck.model.claim import Place
from pincheck.model.path import Contact
from pincheck.model.wiring import PullResistor, VoltageDivider
from pincheck.wiring import load, trace

CONFIGS = resources.folder("configs")

HEATER = "heater-24v-40w"
FAN = "fan-24v-0a3"
NTC = "ntc-100k-b3950"


def kinds(traced):
    """Return kind and roles of every fault, in order."""
    return [(fault.kind, fault.roles) for fault in traced.faults]


@pytest.fixture(scope="module")
def demo():
    """The traced demo machine."""
    return trace(load(CONFIGS / "marsh-230-c.toml"))


class TestDemo:
    """The demo machine, which has no fault in its copper."""

    @pytest.mark.parametrize("name", ["marsh-230-b", "marsh-230-c", "marsh-230-curlew"])
    def test_no_faults(self, name):
        assert trace(load(CONFIGS / f"{name}.toml")).faults == ()

    def test_pins_of_revision_c(self, demo):
        """The part fan moved to the pin of fan 2, all else is where revision B has it."""
        pins = {wired.role: wired.place.pin for wired in demo.wired if wired.place}
        assert pins == {
            "hotend.heater": "PC8",
            "hotend.sensor": "PC5",
            "hotend.fan": "PB6",
            "part.fan": "PB8",
            "part1.fan": "PB8",
            "probe.signal": "PB1",
            "probe.servo": "PA1",
            "bed.heater": "PA8",
            "bed.sensor": "PC4",
            "x.endstop": "PC0",
            "y.endstop": "PC1",
            "filament.sensor": "PC3",
        }
        older = trace(load(CONFIGS / "marsh-230-b.toml"))
        assert older.find("part.fan").place == Place("main", "PB7")

    def test_readable_lines(self, demo):
        """From the chip pin or rail to the part, every connector with its pins in parallel."""
        heater = demo.find("hotend.heater")
        assert heater.path.line() == (
            "PC8 of Heron 2 -> low-side switch 8 A -> toolhead 3,4 -> straight cable"
            " -> link 3,4 of Lapwing C -> heater 2 -> heater-24v-40w"
        )
        assert heater.supply.line() == (
            "24V of Heron 2 -> toolhead 1,2,5,6 -> straight cable -> link 1,2,5,6 of Lapwing C"
            " -> heater 1 -> heater-24v-40w"
        )
        assert demo.find("extruder.motor").path.line() == (
            "PB3 of Heron 2 (step) -> driver E0 2 A -> toolhead 17 -> straight cable"
            " -> link 17 of Lapwing C -> extruder 1 -> motor-1a0"
        )

    def test_contacts_in_parallel(self, demo):
        """A net on several pins shares its current; the socket has one contact."""
        assert demo.find("hotend.heater").path.contacts == (
            Contact("main", "toolhead", (3, 4), 3.0),
            Contact("tool", "link", (3, 4), 3.0),
            Contact("tool", "heater", (2,), 10.0),
        )

    def test_wires_and_tracks(self, demo):
        """The ribbon's two conductors, then the heater's own wire; the board's copper between."""
        path = demo.find("hotend.heater").path
        assert [
            (wire.awg, count) for wire, count in zip(path.wires, path.in_parallel, strict=True)
        ] == [
            (26, 2),
            (20, 1),
        ]
        assert [(net, track.width_mm, track.weight_oz) for net, track in path.tracks] == [
            ("HEAT", 2.5, 2.0)
        ]

    def test_supply(self, demo):
        """The volts across a part, and the rail that gives them."""
        heater = demo.find("bed.heater")
        assert (heater.supply_v, heater.supply_rail) == (24.0, ("main", "24V"))
        assert heater.supply_max_a == 14.6
        probe = demo.find("probe.signal")
        assert (probe.supply_v, probe.supply_rail, probe.supply_max_a) == (
            5.0,
            ("main", "5V"),
            2.0,
        )
        assert demo.find("hotend.sensor").supply_v is None

    def test_two_fans_on_one_switch(self, demo):
        """Each names the other; side by side they are no fault."""
        assert demo.find("part.fan").switch_mates == ("part1.fan",)
        assert demo.find("part1.fan").switched_net == ("main", "FAN2")
        assert demo.find("hotend.fan").switch_mates == ()

    def test_a_motor_hangs_on_its_driver(self, demo):
        """No chip pin of its own, but the driver with its limits."""
        motor = demo.find("extruder.motor")
        assert motor.place is None
        assert (motor.path.driver.name, motor.path.driver.sense_ohm) == ("E0", 0.11)
        assert "driver E0" in motor.reason

    def test_a_block_has_no_copper(self, demo):
        """It is fitted, and no wire is missing."""
        assert demo.find("hotend.block").reason == "a block has no wires"

    def test_a_smart_board_drives_its_own(self):
        """Chip pins are those of the board that a part really hangs on."""
        traced = trace(load(CONFIGS / "marsh-230-curlew.toml"))
        assert traced.find("hotend.heater").place == Place("tool", "gpio2")
        assert traced.find("bed.heater").place == Place("main", "PA8")
        probe = traced.find("probe.signal")
        assert probe.path.divider == VoltageDivider(10000, 20000)
        assert probe.path.pullups == (PullResistor(4700, 5.0),)
        heater = traced.find("hotend.heater")
        assert heater.supply.line().startswith("24V of Heron 2 -> tool_power 1,2 -> ")

    def test_canonical_names_come_from_outside(self):
        """The caller says how a chip's pins are called."""
        traced = trace(
            load(CONFIGS / "marsh-230-c.toml"), lambda chip, pin: f"{chip[:5]}:{pin.lower()}"
        )
        assert traced.find("hotend.heater").place == Place("main", "stm32:pc8")
        assert [wired.role for wired in traced.at(Place("main", "stm32:pb8"))] == [
            "part.fan",
            "part1.fan",
        ]

    def test_a_drivers_step_pin_is_named_like_any_other_pin(self):
        """A motor has the step pin of its driver, which has to compare with what is claimed."""
        traced = trace(load(CONFIGS / "marsh-230-c.toml"), lambda _, pin: pin.lower())
        assert traced.find("extruder.motor").path.driver.step_pin == "pb3"


def heater_machine(tmp_path, wiring, pins=("24V", "HEAT", "GND")):
    """A heater and nothing else behind one cable."""
    return machine(
        tmp_path,
        connector("out", *pins),
        connector("in", *pins) + connector("heat", "24V", "HEAT"),
        cable(wiring) + fit("hotend.heater", "tool.heat", HEATER),
    )


def test_a_pair_list_carries_each_net_where_it_says(tmp_path):
    """The boards number their pins differently, the harness sorts it out."""
    traced = trace(
        machine(
            tmp_path,
            connector("out", "24V", "HEAT", "GND"),
            connector("in", "HEAT", "GND", "24V") + connector("heat", "24V", "HEAT"),
            cable("[[1, 3], [2, 1], [3, 2]]") + fit("hotend.heater", "tool.heat", HEATER),
        )
    )
    assert traced.faults == ()
    heater = traced.find("hotend.heater")
    assert heater.place == Place("main", "PC8")
    assert heater.path.line() == (
        "PC8 of Bittern -> low-side switch 8 A -> out 2 -> cable pin by pin -> in 1 of Avocet"
        " -> heat 2 -> heater-24v-40w"
    )


def test_a_mirrored_cable_on_a_two_wire_heater_works(tmp_path):
    """A heater has no polarity: supply and switch change places and it heats all the same."""
    traced = trace(heater_machine(tmp_path, '"mirrored"', ("24V", "HEAT")))
    assert traced.faults == ()
    assert traced.find("hotend.heater").place == Place("main", "PC8")
    assert traced.find("hotend.heater").supply_v == 24.0


def test_a_mirrored_cable_turns_a_fan_round(tmp_path):
    """A fan has: the same cable is a fault."""
    traced = trace(
        machine(
            tmp_path,
            connector("out", "24V", "FAN"),
            connector("in", "24V", "FAN") + connector("fan", "24V", "FAN"),
            cable('"mirrored"') + fit("part.fan", "tool.fan", FAN),
        )
    )
    assert kinds(traced) == [("reversed", ("part.fan",))]
    assert traced.find("part.fan").place == Place("main", "PB6")


def test_a_mirrored_ribbon_joins_supplies(tmp_path):
    """24 V meets the net that the breakout calls ground, and ground the one it calls 24V."""
    traced = trace(heater_machine(tmp_path, '"mirrored"'))
    assert kinds(traced) == [
        ("supplies-joined", ("hotend.heater",)),
        ("supplies-joined", ("hotend.heater",)),
    ]
    assert traced.faults[0].volts == (0.0, 24.0)
    assert traced.faults[0].at.line == traced.find("hotend.heater").fit.at.line - 5


def test_two_fed_rails_on_one_net_are_a_short_circuit(tmp_path):
    """The ribbon's own pins join 24 V with ground on the breakout."""
    traced = trace(
        machine(
            tmp_path,
            connector("out", "24V", "GND", "HEAT"),
            connector("in", "24V", "24V", "HEAT") + connector("heat", "24V", "HEAT"),
            cable() + fit("hotend.heater", "tool.heat", HEATER),
        )
    )
    (fault,) = traced.faults
    assert fault.kind == "supplies-joined"
    assert "short circuit" in fault.message
    assert traced.find("hotend.heater").supply_v is None


def test_a_rail_on_one_switch_leaves_the_other_parts_their_own_lines(tmp_path):
    """The supply joined to the fan's switch is one fault, and the heater keeps its own pin."""
    traced = trace(
        machine(
            tmp_path,
            connector("out", "24V", "FAN", "HEAT"),
            connector("in", "24V", "24V", "HEAT") + connector("heat", "24V", "HEAT"),
            cable() + fit("hotend.heater", "tool.heat", HEATER),
        )
    )
    assert {fault.kind for fault in traced.faults} == {"supply-on-signal"}
    assert traced.find("hotend.heater").place == Place("main", "PC8")


def test_a_part_between_two_pins_of_one_rail_has_no_supply(tmp_path):
    """There is no voltage across it to compute with."""
    traced = trace(
        machine(tmp_path, connector("fan", "24V", "24V"), "", fit("part.fan", "main.fan", FAN))
    )
    assert traced.find("part.fan").supply_v is None
    assert traced.faults


def test_a_supply_on_a_motors_coil_came_over_the_cable(tmp_path):
    """The board's own nets are right, so the cable is what is named."""
    traced = trace(
        machine(
            tmp_path,
            "".join(f'{net}.driver = "E0"\n' for net in "ABCD")
            + "[drivers.E0]\nmax_a = 2.0\n"
            + connector("out", "24V", "A", "B", "C", "D"),
            connector("in", "A", "B", "C", "D", "") + connector("motor", "A", "B", "C", "D"),
            cable() + fit("extruder.motor", "tool.motor", "motor-1a0"),
        )
    )
    (fault,) = (fault for fault in traced.faults if fault.kind == "supply-on-signal")
    assert (fault.roles, fault.volts) == (("extruder.motor",), (24.0,))
    assert "a coil of extruder.motor" in fault.message
    assert fault.at.line < traced.find("extruder.motor").fit.at.line


def test_a_relay_behind_a_low_side_switch_feeds_its_load(tmp_path):
    """Of two switches on the way the one beside the load decides which side it closes."""
    relay = (
        """
[board]
name = "Relay"
mains = true
[nets]
NEUTRAL = { supply_v = 0.0 }
LIVE = { driven_by = "IN", switch = { side = "high", max_a = 10.0 }, supply_v = 230.0 }
"""
        + connector("in", "", "IN")
        + connector("load", "LIVE", "NEUTRAL")
    )
    traced = trace(
        machine(
            tmp_path,
            connector("out", "24V", "HEAT"),
            relay,
            cable() + fit("bed.heater", "tool.load", "bed-230v-600w"),
        )
    )
    assert traced.faults == ()
    assert traced.find("bed.heater").supply_v == 230.0


def test_rails_a_hair_apart_supply_nothing(tmp_path):
    """Nobody means 0.02 V; no rule has to compute with it."""
    traced = trace(
        machine(
            tmp_path,
            connector("h", "LOW", "HEAT") + "[nets.LOW]\nsupply_v = 0.02\n",
            "",
            fit("hotend.heater", "main.h", HEATER),
        )
    )
    assert traced.find("hotend.heater").supply_v is None


def test_a_heater_between_ground_and_its_low_side_switch_has_no_supply(tmp_path):
    """Closing the switch joins ground with ground."""
    traced = trace(
        machine(tmp_path, connector("h", "GND", "HEAT"), "", fit("hotend.heater", "main.h", HEATER))
    )
    (fault,) = traced.faults
    assert (fault.kind, fault.roles) == ("no-supply", ("hotend.heater",))
    assert "both on ground" in fault.message


def test_24_v_on_a_thermistor_pin(tmp_path):
    """A plug set one pin off: the supply reaches the chip pin of the sensor."""
    traced = trace(
        machine(
            tmp_path,
            connector("out", "24V", "24V", "TH", "GND"),
            connector("in", "", "TH", "TH", "GND") + connector("therm", "TH", "GND"),
            cable() + fit("hotend.sensor", "tool.therm", NTC),
        )
    )
    signal = [fault for fault in traced.faults if fault.kind == "supply-on-signal"]
    assert [(fault.roles, fault.volts) for fault in signal] == [(("hotend.sensor",), (24.0,))]
    assert "PC5 of Bittern gets 24 V and stands 3.3 V" in signal[0].message


def test_a_pull_up_is_no_supply_on_a_signal(tmp_path):
    """The thermistor's own pull-up leads to a rail and is right there."""
    traced = trace(
        machine(tmp_path, connector("th", "TH", "GND"), "", fit("hotend.sensor", "main.th", NTC))
    )
    assert traced.faults == ()
    assert traced.find("hotend.sensor").path.pullups == (PullResistor(4700, 3.3),)


def test_a_switched_net_on_ground_heats_without_end(tmp_path):
    """The heater's low side is tied to ground beside its switch."""
    traced = trace(
        machine(
            tmp_path,
            connector("out", "24V", "HEAT", "GND"),
            connector("in", "24V", "HEAT", "HEAT") + connector("heat", "24V", "HEAT"),
            cable() + fit("hotend.heater", "tool.heat", HEATER),
        )
    )
    (fault,) = traced.faults
    assert (fault.kind, fault.roles, fault.volts) == (
        "supply-on-signal",
        ("hotend.heater",),
        (0.0,),
    )
    assert "on whatever PC8" in fault.message


def test_a_switch_on_the_breakout(tmp_path):
    """A signal crosses the cable and drives a transistor beside the part."""
    tool = (
        """
[nets.LOAD]
driven_by = "GATE"
switch = { side = "low", max_a = 3 }
"""
        + connector("in", "24V", "GATE", "GND")
        + connector("heat", "24V", "LOAD")
    )
    traced = trace(
        machine(
            tmp_path,
            connector("out", "24V", "SIG", "GND"),
            tool,
            cable() + fit("hotend.heater", "tool.heat", HEATER),
        )
    )
    assert traced.faults == ()
    heater = traced.find("hotend.heater")
    assert heater.place == Place("main", "PB1")
    assert heater.switched_net == ("tool", "LOAD")
    assert heater.path.switch.max_a == 3.0
    assert heater.path.series_ohm == 100.0
    assert heater.path.line() == (
        "PB1 of Bittern -> out 2 -> straight cable -> in 2 of Avocet -> low-side switch 3 A"
        " -> heat 2 -> heater-24v-40w"
    )


def test_a_high_side_switch(tmp_path):
    """The plus is switched, the minus is ground: the polarity of the plug is the other way."""
    tool = (
        """
[board]
name = "Snipe tool"
supply_v = 24
supply_max_a = 4
[nets.PLUS]
driven_by = "GATE"
switch = { side = "high", max_a = 3 }
"""
        + connector("in", "24V", "GATE", "GND")
        + connector("fan", "PLUS", "GND")
    )
    traced = trace(
        machine(
            tmp_path,
            connector("out", "24V", "SIG", "GND"),
            tool,
            cable() + fit("part.fan", "tool.fan", FAN),
        )
    )
    assert traced.faults == ()
    fan = traced.find("part.fan")
    assert (fan.supply_v, fan.supply_rail, fan.supply_max_a) == (24.0, ("tool", "24V"), 4.0)
    turned = machine(
        tmp_path,
        connector("out", "24V", "SIG", "GND"),
        tool,
        cable() + fit("part.fan", "tool.fan", FAN, "pins = [2, 1]"),
    )
    assert kinds(trace(turned)) == [("reversed", ("part.fan",))]


def test_a_divider_between_probe_and_chip(tmp_path):
    """A breakout scales the probe's signal down on its way to the ribbon."""
    tool = (
        """
[nets.RAW]
driven_by = "SCALED"
divider = { top_ohm = 10000, bottom_ohm = 20000 }
"""
        + connector("in", "5V", "SCALED", "GND")
        + connector("probe", "5V", "GND", "RAW")
    )
    traced = trace(
        machine(
            tmp_path,
            connector("out", "5V", "SIG", "GND"),
            tool,
            cable() + fit("probe.signal", "tool.probe", "probe-inductive-npn"),
        )
    )
    assert traced.faults == ()
    probe = traced.find("probe.signal")
    assert (probe.place, probe.supply_v) == (Place("main", "PB1"), 5.0)
    assert probe.path.divider.ratio == pytest.approx(2 / 3)
    assert [hop.kind for hop in probe.path.hops] == [
        "chip", "connector", "cable", "connector", "divider", "connector", "part",
    ]  # fmt: skip


def test_a_mirrored_probe_plug(tmp_path):
    """Supply and ground change places."""
    traced = trace(
        machine(
            tmp_path,
            connector("probe", "5V", "SIG", "GND"),
            "",
            fit("probe.signal", "main.probe", "endstop-optical-5v", "pins = [2, 1, 3]"),
        )
    )
    assert kinds(traced) == [("reversed", ("probe.signal",))]


@pytest.mark.parametrize(
    ("pins", "reason"),
    [
        (("24V", ""), "fan 2 of Bittern is not connected"),
        (("24V", "NEXT"), "NEXT of Bittern leads nowhere"),
        (("24V", "GND"), "fan 1 of Bittern is on 24V of Bittern"),
    ],
)
def test_a_role_that_reaches_no_chip_pin(tmp_path, pins, reason):
    """Says where its wire ends instead."""
    main = connector("fan", *pins) + (connector("next", "NEXT", "GND") if "NEXT" in pins else "")
    traced = trace(machine(tmp_path, main, "", fit("hotend.fan", "main.fan", "fan-any")))
    assert ("no-chip-pin", ("hotend.fan",)) in kinds(traced)
    assert traced.find("hotend.fan").reason == reason


def test_a_pin_that_the_other_board_leaves_open(tmp_path):
    """The newer breakout puts the fan where the older mainboard has nothing."""
    traced = trace(
        machine(
            tmp_path,
            connector("out", "24V", "HEAT", ""),
            connector("in", "24V", "", "FAN") + connector("fan", "24V", "FAN"),
            cable() + fit("part.fan", "tool.fan", FAN),
        )
    )
    assert kinds(traced) == [("no-chip-pin", ("part.fan",))]
    assert "out 3 of Bittern, which is not connected" in traced.find("part.fan").reason


def test_two_roles_on_one_pin(tmp_path):
    """A hot-end fan on the part fan's switch stops whenever the part fan does."""
    text = fit("hotend.fan", "main.a", FAN) + fit("part.fan", "main.b", FAN)
    traced = trace(
        machine(tmp_path, connector("a", "24V", "FAN") + connector("b", "24V", "FAN"), "", text)
    )
    assert kinds(traced) == [("shared-pin", ("hotend.fan", "part.fan"))]
    assert traced.find("hotend.fan").switch_mates == ("part.fan",)


def test_two_sensors_on_one_pin(tmp_path):
    """Two of the same kind, but a pin reads one."""
    text = fit("hotend.sensor", "main.a", NTC) + fit("hotend1.sensor", "main.b", NTC)
    traced = trace(
        machine(tmp_path, connector("a", "TH", "GND") + connector("b", "TH", "GND"), "", text)
    )
    assert kinds(traced) == [("shared-pin", ("hotend.sensor", "hotend1.sensor"))]


def test_two_chip_pins_on_one_net(tmp_path):
    """Main board and tool-head board both claim the signal."""
    tool = (
        """
[board]
name = "Curlew"
chip = "rp2040"
[nets.SIG]
chip_pin = "gpio5"
"""
        + connector("in", "SIG", "GND")
        + connector("stop", "SIG", "GND")
    )
    traced = trace(
        machine(
            tmp_path,
            connector("out", "SIG", "GND"),
            tool,
            cable() + fit("x.endstop", "tool.stop", "endstop-switch-nc"),
        )
    )
    assert kinds(traced) == [("shared-pin", ("x.endstop",))]
    assert "PB1 of Bittern and gpio5 of Curlew" in traced.faults[0].message


def test_a_supply_that_no_cable_brings(tmp_path):
    """The breakout's 24V is a name only until a cable feeds it."""
    traced = trace(
        machine(
            tmp_path,
            connector("out", "24V", "FAN"),
            connector("in", "24V", "FAN") + connector("fan", "24V", "FAN"),
            cable("[[2, 2]]") + fit("part.fan", "tool.fan", FAN),
        )
    )
    assert kinds(traced) == [("no-supply", ("part.fan",))]
    assert "no board feeds 24V of Avocet" in traced.faults[0].message
    assert traced.find("part.fan").supply_v is None


def test_a_breakouts_own_regulator_feeds(tmp_path):
    """A net that says its supply needs no cable."""
    tool = (
        "\n[nets.5V]\nsupply_v = 5\nmax_a = 1\n"
        + connector("in", "24V", "FAN")
        + connector("fan", "5V", "FAN")
    )
    traced = trace(
        machine(
            tmp_path,
            connector("out", "24V", "FAN"),
            tool,
            cable() + fit("part.fan", "tool.fan", "fan-5v-0a2"),
        )
    )
    assert traced.faults == ()
    fan = traced.find("part.fan")
    assert (fan.supply_v, fan.supply_rail, fan.supply_max_a) == (5.0, ("tool", "5V"), 1.0)


def test_a_sensor_with_one_wire_in_the_air(tmp_path):
    """Its other side reaches nothing: the reading is that of a broken wire."""
    traced = trace(
        machine(tmp_path, connector("th", "TH", ""), "", fit("hotend.sensor", "main.th", NTC))
    )
    assert kinds(traced) == [("no-supply", ("hotend.sensor",))]
    assert "open circuit" in traced.faults[0].message


def test_24_v_across_a_thermistor(tmp_path):
    """Both wires are on rails: no chip pin is in danger, the sensor is."""
    text = fit("hotend.sensor", "main.th", NTC)
    traced = trace(machine(tmp_path, connector("th", "24V", "GND"), "", text))
    assert kinds(traced) == [
        ("no-chip-pin", ("hotend.sensor",)),
        ("supply-on-signal", ("hotend.sensor",)),
    ]
    assert traced.faults[1].volts == (24.0,)


def test_a_probe_plug_one_pin_off(tmp_path):
    """Its supply wire is on the signal's pin, its signal wire on ground."""
    text = fit("probe.signal", "main.probe", "probe-inductive-npn", "pins = [2, 3, 4]")
    main = connector("probe", "5V", "SIG", "GND", "GND")
    traced = trace(machine(tmp_path, main, "", text))
    assert kinds(traced) == [
        ("no-chip-pin", ("probe.signal",)),
        ("no-supply", ("probe.signal",)),
    ]
    assert "gets no supply" in traced.faults[1].message


@pytest.mark.parametrize(
    ("pins", "says"),
    [
        (("A1", "A2", "A3", ""), "open circuit: motor 4 of Bittern is not connected"),
        (("A1", "A2", "B1", "B2"), "driver A of Bittern and driver B of Bittern"),
    ],
)
def test_a_motor_not_wholly_on_one_driver(tmp_path, pins, says):
    """One coil open, or the coils on two drivers: it stutters instead of turning."""
    main = "".join(f'{pin}.driver = "{pin[0]}"\n' for pin in pins if pin)
    main += "".join(f'[drivers.{name}]\nstep_pin = "P{name}9"\n' for name in "AB")
    main += connector("motor", *pins)
    traced = trace(machine(tmp_path, main, "", fit("x.motor", "main.motor", "motor-1a0")))
    assert kinds(traced) == [("no-supply", ("x.motor",))]
    assert says in traced.faults[0].message


def test_the_way_through_a_sensor_amplifier(tmp_path):
    """Type and reference resistor are on the path."""
    main = """
RTD.chip_pin = "PA4"
RTD.amplifier = "MAX31865"
RTD.reference_ohm = 430
""" + connector("rtd", "RTD", "GND")
    traced = trace(machine(tmp_path, main, "", fit("hotend.sensor", "main.rtd", "pt100")))
    path = traced.find("hotend.sensor").path
    assert (path.amplifier, path.reference_ohm) == ("MAX31865", 430.0)
    assert "amplifier MAX31865 430 ohm" in path.line()


def test_the_smallest_fuse_on_the_way(tmp_path):
    """The rail's fuse limits the supply path."""
    main = "FUSED.supply_v = 24\nFUSED.fuse_a = 5\nFUSED.max_a = 6\n" + connector(
        "heat", "FUSED", "HEAT"
    )
    traced = trace(machine(tmp_path, main, "", fit("hotend.heater", "main.heat", HEATER)))
    heater = traced.find("hotend.heater")
    assert heater.supply.fuse_a == 5.0
    assert heater.supply_max_a == 6.0

"""References: what is generated agrees when it is read back, says why, and never varies."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from pincheck import api
from pincheck.check import check
from pincheck.intake.machines import read
from pincheck.maker.files import save
from pincheck.maker.reference import Reference, reference
from pincheck.maker.want import CannotExpressError
from pincheck.model.claim import PinValue
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.wiring import Assembly
from pincheck.rules.fans.third_wire import tachometer
from pincheck.writing.change import AlreadyThereError

Wired = Callable[..., Assembly]

SHIPPED = api.demo("reference")
MADE: tuple[tuple[str, StyleName], ...] = (
    *((f"marsh-230-{revision}", style) for revision in "bc" for style in STYLES),
    ("marsh-230-curlew", "section"),
)


def _demo(name: str, style: StyleName) -> Reference:
    return reference(api.load_wiring(api.demo(f"{name}.toml")), style)


@pytest.mark.parametrize(("name", "style"), MADE)
def test_demo_references_are_the_ones_shipped(name: str, style: StyleName) -> None:
    """Byte for byte; PINCHECK_REGENERATE=1 writes them anew for review."""
    folder = SHIPPED / name / style
    made = {source.name: source.data for source in _demo(name, style).machine.sources}
    if os.environ.get("PINCHECK_REGENERATE"):
        folder.mkdir(parents=True, exist_ok=True)
        for file, data in made.items():
            (folder / file).write_bytes(data)
    assert made == {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.mark.parametrize(("name", "style"), MADE)
def test_shipped_files_read_from_disk_agree_everywhere(name: str, style: StyleName) -> None:
    """What a user gets, taken in as any configuration is: no finding, every pin agrees."""
    assembly = api.load_wiring(api.demo(f"{name}.toml"))
    result = api.check(api.load_configuration(SHIPPED / name / style), assembly)
    assert result.findings == ()
    assert result.problems == ()
    assert result.claims.not_understood == ()
    states = {(v.role, v.attribute): v.state for v in result.verdicts}
    for role in ("hotend.heater", "hotend.sensor", "hotend.fan", "part.fan", "bed.heater",
                 "bed.sensor", "probe.signal", "probe.servo"):  # fmt: skip
        assert states[role, "pin"] == "agrees", role
    for spot in (("hotend.heater", "max_c"), ("bed.heater", "max_c"), ("hotend.sensor", "table"),
                 ("hotend.sensor", "pullup_ohm"), ("hotend.heater", "protection"),
                 ("hotend.heater", "trip_period_s"), ("probe.signal", "pull"),
                 ("z.endstop", "homing_pin")):  # fmt: skip
        assert states[spot] == "agrees", spot


@pytest.mark.parametrize(("name", "style"), MADE)
def test_each_setting_says_why(name: str, style: StyleName) -> None:
    for source in _demo(name, style).machine.sources:
        lines = [
            line for line in source.text.splitlines() if line and not line.startswith("#pragma")
        ]
        if style == "gcode":
            commands = [n for n, line in enumerate(lines) if not line.startswith(";")]
            assert all(lines[n - 1].startswith(";") for n in commands)
        else:
            mark = "//" if style == "define" else "#"
            settings = [line for line in lines if not line.startswith(("[", mark))]
            assert all(f" {mark} " in line for line in settings)


@pytest.mark.parametrize("style", STYLES)
def test_two_runs_give_the_same_bytes(style: StyleName) -> None:
    once, again = (_demo("marsh-230-c", style).machine.sources for _ in range(2))
    assert [source.data for source in once] == [source.data for source in again]


@pytest.mark.parametrize("style", STYLES)
def test_settable_limits_stay_below_the_weakest_part(style: StyleName) -> None:
    """Independent of the rules: limit less the style's margin against the demo's 260 and 120."""
    claims = _demo("marsh-230-c", style).result.claims
    for role, stands in (("hotend.heater", 260.0), ("bed.heater", 120.0)):
        limit, margin = claims.find(role, "max_c"), claims.find(role, "overshoot_c")
        assert limit
        assert isinstance(limit.value, float)
        spare = margin.value if margin else 0.0
        assert isinstance(spare, float)
        assert limit.value - spare == stands - 5.0


def test_define_style_with_a_second_chip_says_why() -> None:
    with pytest.raises(
        CannotExpressError, match=r"one chip only, and the hot-end heater .*Curlew 1"
    ):
        _demo("marsh-230-curlew", "define")


def test_gcode_style_takes_a_second_chip_by_its_number(rewired: Wired) -> None:
    assembly = rewired(
        ("marsh-230-curlew.toml", "curlew =", "1 ="), assembly="marsh-230-curlew.toml"
    )
    claim = reference(assembly, "gcode").result.claims.find("hotend.heater", "pin")
    assert claim
    assert isinstance(claim.value, PinValue)
    assert claim.value.written == "1.gpio2"
    with pytest.raises(CannotExpressError, match="second board by a number"):
        _demo("marsh-230-curlew", "gcode")


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize(
    ("ohm", "expected"),
    [
        (2200, {"define": "TEMP_SENSOR_0 1000", "section": "resistor: 2200", "gcode": "R2200"}),
        (1000, {"define": "TEMP_SENSOR_0 55", "section": "resistor: 1000", "gcode": "R1000"}),
    ],
)
def test_another_pullup_reaches_every_style(
    rewired: Wired, style: StyleName, ohm: int, expected: dict[str, str]
) -> None:
    old = 'chip_pin = "PC5"\npullup = { ohm = 4700'
    assembly = rewired(("boards/heron-2.toml", old, old.replace("4700", str(ohm))))
    text = "".join(source.text for source in reference(assembly, style).machine.sources)
    assert expected[style] in text


@pytest.mark.parametrize(
    ("style", "expected"),
    [
        ("define", ("SENSOR_0 -5", "SENSOR_OHMS_0 1000", "CALIBRATION_OHMS_0 4300")),
        ("section", ("type: MAX31865", "nominal_r: 1000", "reference_r: 4300")),
        ("gcode", ('Y"rtd-max31865"', "R430")),
    ],
)
def test_a_platinum_sensor_behind_a_converter(
    rewired: Wired, style: StyleName, expected: tuple[str, ...]
) -> None:
    """Its nominal and the converter's reference stand in keys of their own."""
    net = 'chip_pin = "PC5"\npullup = { ohm = 4700, tolerance_pct = 1.0, to_v = 3.3 }'
    converter = 'chip_pin = "PC5"\namplifier = "max31865"\nreference_ohm = 4300'
    assembly = rewired(
        ("boards/heron-2.toml", net, converter),
        ("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"', 'part = "pt1000"'),
    )
    text = "".join(source.text for source in reference(assembly, style).machine.sources)
    assert all(said in text for said in expected)


@pytest.mark.parametrize("style", STYLES)
def test_an_inverting_heater_switch_turns_the_pin_round(rewired: Wired, style: StyleName) -> None:
    old = 'chip_pin = "PC8"\nswitch = { side = "low",'
    assembly = rewired(("boards/heron-2.toml", old, f"{old} inverting = true,"))
    claim = reference(assembly, style).result.claims.find("hotend.heater", "inverted")
    assert claim
    assert claim.value is True


def test_pulls_of_both_kinds_are_kept_apart_in_the_define_style(rewired: Wired) -> None:
    """A PNP probe that is pulled down must not get the pull-up that the end stops need."""
    assembly = rewired(
        ("boards/heron-2.toml", 'chip_pin = "PB1"',
         'chip_pin = "PB1"\ndivider = { top_ohm = 10000, bottom_ohm = 1500 }\n'
         "pulldown = { ohm = 10000 }"),
        ("marsh-230-c.toml", 'part = "probe-servo-5v"',
         'part = "probe-inductive-pnp"\npins = [2, 1, 5]'),
        ("boards/lapwing-c.toml", '"GND", "5V", "SERVO", "GND", "PROBE"',
         '"GND", "24V", "", "", "PROBE"'),
        ("boards/lapwing-c.toml", '"SERVO", "PROBE",  ', '"", "PROBE",  '),
    )  # fmt: skip
    text = "".join(source.text for source in reference(assembly, "define").machine.sources)
    assert "ENDSTOPPULLUP_XMIN" in text
    assert "#define ENDSTOPPULLUPS" not in text


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize(
    ("replaced", "reason"),
    [
        (("marsh-230-c.toml", "heater-24v-40w", "heater-12v-40w"), "makes that safe"),
        (("marsh-230-c.toml", "fan-24v-0a1", "fan-5v-0a2"), "fan-voltage-differs"),
        (("marsh-230-c.toml", 'part = "block-marsh"', 'part = "block-lined"\nunverified = true'),
         "the wiring is a draft"),
    ],
)  # fmt: skip
def test_what_cannot_be_right_is_not_generated(
    rewired: Wired, style: StyleName, replaced: tuple[str, str, str], reason: str
) -> None:
    with pytest.raises(CannotExpressError, match=reason):
        reference(rewired(replaced), style)


def test_a_heater_without_a_limit_has_no_reference(rewired: Wired) -> None:
    file = "marsh-230-c.toml"
    assembly = rewired(
        (file, '[limits.hotend]\nmax_c = 260\nbecause = "liner"\n', ""),
        (file, '[fit.hotend_block]\nrole = "hotend.block"\npart = "block-marsh"\n', ""),
    )
    with pytest.raises(CannotExpressError, match="states no limit for the hot-end heater"):
        reference(assembly, "section")


@pytest.mark.parametrize("style", STYLES)
def test_a_stronger_heater_gets_a_sooner_cut_or_no_reference(
    rewired: Wired, style: StyleName
) -> None:
    """60 W overheat faster than 40 W: the settings must still cut below the liner's limit."""
    stronger_wire = ("marsh-230-c.toml", "awg = 26", "awg = 24")
    heater = ("marsh-230-c.toml", "heater-24v-40w", "heater-24v-60w")
    made = reference(rewired(heater, stronger_wire), style)
    usual = _demo("marsh-230-c", style)
    name = "max_error_ks" if style == "section" else "trip_period_s"
    stronger, weaker = (it.result.claims.find("hotend.heater", name) for it in (made, usual))
    assert stronger
    assert weaker
    assert isinstance(stronger.value, float)
    assert isinstance(weaker.value, float)
    assert stronger.value <= weaker.value
    assert not [f for f in made.result.findings if f.rule == "sensor-falls-out-too-hot"]


@pytest.mark.parametrize("style", STYLES)
def test_a_reference_of_one_revision_is_refused_on_the_other(style: StyleName) -> None:
    """The check that lets a reference through can fail: the part fan moved from B to C."""
    made = _demo("marsh-230-b", style)
    on_c = check(read(made.machine), api.load_wiring(api.demo("marsh-230-c.toml")))
    assert [finding.rule for finding in on_c.findings] == ["pin-differs"]


def test_files_are_not_written_over(tmp_path: Path) -> None:
    sources = _demo("marsh-230-c", "section").machine.sources
    path = tmp_path / "new" / sources[0].name
    save(tmp_path / "new", sources)
    assert path.read_bytes() == sources[0].data
    save(tmp_path / "new", sources)
    path.write_text("mine")
    with pytest.raises(AlreadyThereError, match=r"reference.cfg is there already"):
        save(tmp_path / "new", sources)
    assert path.read_text() == "mine"
    save(tmp_path / "new", sources, replace=True)
    assert path.read_bytes() == sources[0].data
    assert [file.name for file in path.parent.iterdir()] == ["reference.cfg"]


_TYPED = ("boards/heron-2.toml", "[drivers.E0]", '[drivers.E0]\ntype = "TMC2209"')


@pytest.mark.parametrize(
    ("style", "said"),
    [
        ("define", ("E0_DRIVER_TYPE TMC2209 ", "E0_CURRENT 800 ", "E0_RSENSE 0.11 ")),
        ("section", ("[tmc2209 extruder]\nrun_current: 0.8 ", "\nsense_resistor: 0.11 ")),
    ],
)
def test_a_driver_of_a_stated_type_gets_its_current(
    rewired: Wired, style: StyleName, said: tuple[str, ...]
) -> None:
    """80 % of the lesser of motor (1 A) and driver, RMS; the other motors' drivers state none."""
    made = reference(rewired(_TYPED), style)
    text = "".join(source.text for source in made.machine.sources)
    assert all(word in text for word in said)
    agreed = {(v.role, v.attribute) for v in made.result.verdicts if v.state == "agrees"}
    assert ("extruder.motor", "current_a") in agreed
    head = " ".join(text.partition("\n\n")[0].split())
    assert "x motor 1.2 A" in head
    assert "extruder motor" not in head.partition("Motor currents")[2]


@pytest.mark.parametrize("chip", ["a4988", "tmc2209] [mcu"])
def test_a_driver_with_a_trimmer_gets_no_current(rewired: Wired, chip: str) -> None:
    """Another chip, or a text that is none, is no section of the configuration."""
    made = reference(rewired((*_TYPED[:2], f'[drivers.E0]\ntype = "{chip}"')), "section")
    text = made.machine.main.text
    assert "run_current" not in text
    assert "extruder motor 0.8 A" in " ".join(text.replace("# ", " ").split())


@pytest.mark.parametrize(
    ("style", "line"),
    [
        ("define", "#define E0_FAN_TACHO_PULLUP"),
        ("section", "tachometer_poll_interval: 0.0015"),
        ("gcode", 'M950 F1 C"fan0+^PC6" Q250 K2'),
    ],
)
def test_a_tachometer_is_read_beside_its_fan(rewired, style, line):
    assembly = rewired(*tachometer("")[:4])
    made = reference(assembly, style)
    texts = "\n".join(source.text for source in made.machine.sources)
    assert line in texts
    spots = {(v.role, v.attribute): v.state for v in made.result.verdicts}
    assert spots["hotend.tachometer", "pin"] == spots["hotend.tachometer", "pull"] == "agrees"


def test_a_tachometer_that_is_left_open_keeps_no_reference_back(rewired):
    open_ = [(file, old, new.replace('"TACHO"', '""')) for file, old, new in tachometer("")[1:4]]
    assert reference(rewired(*open_), "section")

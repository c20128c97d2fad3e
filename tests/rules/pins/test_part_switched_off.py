"""`part-switched-off`, from a line of the define style to the edit that takes it back."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from pincheck import api
from pincheck.intake import Machine
from pincheck.model.finding import Result

Changed = Callable[[str, str, str], tuple[Machine, Result]]

ASSEMBLY = api.load_wiring(api.demo("marsh-230-c.toml"))


@pytest.fixture
def changed(tmp_path: Path) -> Changed:
    """Return a run of the demo's headers with one text of one file changed."""

    def run(file: str, old: str, new: str) -> tuple[Machine, Result]:
        folder = tmp_path / "printer"
        shutil.copytree(api.demo("clean") / "define", folder)
        text = (folder / file).read_text()
        assert old in text
        (folder / file).write_text(text.replace(old, new))
        machine = api.load_configuration(folder)
        return machine, api.check(machine, ASSEMBLY)

    return run


@pytest.mark.parametrize(
    ("old", "new", "roles", "said"),
    [
        (
            "TEMP_SENSOR_BED 11",
            "TEMP_SENSOR_BED 0",
            ("bed.heater", "bed.sensor"),
            "TEMP_SENSOR_BED is 0 at machine.h:78: the bed heater stays cold; "
            "the bed sensor is not read.",
        ),
        (
            "TEMP_SENSOR_0 5",
            "TEMP_SENSOR_0 0",
            ("hotend.heater", "hotend.sensor", "hotend.fan"),
            "TEMP_SENSOR_0 is 0 at machine.h:70: the hot-end heater stays cold; the hot-end "
            "sensor is not read; the hot-end fan never turns (heat creeps up, filament softens "
            "in the cold end and jams).",
        ),
        (
            "#define BLTOUCH\n",
            "//#define BLTOUCH\n",
            ("probe.signal", "probe.servo"),
            "BLTOUCH is commented out at machine.h:237: the probe signal is never seen (homing "
            "drives the nozzle into the bed); the probe servo never moves (the probe stays up, "
            "homing drives the nozzle into the bed).",
        ),
        (
            "#define FILAMENT_RUNOUT_SENSOR\n",
            "//#define FILAMENT_RUNOUT_SENSOR\n",
            ("filament.sensor",),
            "FILAMENT_RUNOUT_SENSOR is commented out at machine.h:285: the filament sensor is "
            "never seen (a print goes on without filament).",
        ),
    ],
    ids=["bed", "hot end", "probe", "filament"],
)
def test_one_finding_at_the_line_and_the_edit_that_takes_it_back(
    changed: Changed, old: str, new: str, roles: tuple[str, ...], said: str
) -> None:
    machine, result = changed("machine.h", old, new)
    (found,) = result.findings
    assert (found.rule, found.roles, found.message) == ("part-switched-off", roles, said)
    assert f"machine.h:{found.span.line}:" in said
    trial = api.try_edits(machine, ASSEMBLY, api.propose(result))
    assert not trial.result.findings
    before = (api.demo("clean") / "define" / "machine.h").read_text()
    assert next(s for s in trial.machine.sources if s.name == "machine.h").text == before


def test_a_flag_set_to_false_is_set_to_true(changed: Changed) -> None:
    old = "#define FILAMENT_RUNOUT_SENSOR\n"
    machine, result = changed("machine.h", old, "#define FILAMENT_RUNOUT_SENSOR false\n")
    assert [f.rule for f in result.findings] == ["part-switched-off"]
    trial = api.try_edits(machine, ASSEMBLY, api.propose(result))
    text = next(s for s in trial.machine.sources if s.name == "machine.h").text
    assert "#define FILAMENT_RUNOUT_SENSOR true\n" in text
    assert not trial.result.findings


def test_a_probe_whose_line_is_nowhere_is_told_as_not_configured(changed: Changed) -> None:
    """Near miss: no line switches it off, so none is blamed; another kind of probe is none."""
    _, result = changed("machine.h", "#define BLTOUCH\n", "\n")
    assert {f.rule for f in result.findings} == {"role-not-configured"}


def test_a_line_that_holds_under_an_unknown_condition_switches_nothing_off_for_certain(
    changed: Changed,
) -> None:
    new = "#if OF_A_BOARD\n#define TEMP_SENSOR_BED 11\n#else\n#define TEMP_SENSOR_BED 0\n#endif"
    _, result = changed("machine.h", "#define TEMP_SENSOR_BED 11", new)
    assert "part-switched-off" not in {f.rule for f in result.findings}


def test_the_extruder_of_a_hot_end_that_is_off_is_not_accused(changed: Changed) -> None:
    _, result = changed("machine.h", "TEMP_SENSOR_0 5", "TEMP_SENSOR_0 0")
    assert "extruder.motor" not in {role for found in result.findings for role in found.roles}


def test_a_filament_switch_on_which_nothing_happens(demo):
    acts = "pause_on_runout: True\nrunout_gcode:\n    M118 filament has run out\n    PAUSE"
    result = demo("section", ("machine.cfg", acts, "pause_on_runout: False"))
    (found,) = result.findings
    assert (found.rule, found.role) == ("part-switched-off", "filament.sensor")
    assert found.message.startswith("pause_on_runout is False at machine.cfg:")


def test_near_miss_a_filament_switch_that_calls_a_script(demo):
    result = demo("section", ("machine.cfg", "pause_on_runout: True", "pause_on_runout: False"))
    assert not result.findings


@pytest.mark.parametrize(
    ("text", "told"), [("false", True), ("0", True), ("true", False), ("1", False)]
)
def test_a_filament_switch_that_is_set_up_and_left_off(demo, text, told):
    line = "FIL_RUNOUT_ENABLED_DEFAULT"
    result = demo("define", ("machine.h", f"{line} true", f"{line} {text}"))
    told_of = [f"{line} is {text} at machine.h:287"] if told else []
    assert [f.message.partition(":")[0] + ":287" for f in result.findings] == told_of
    assert [f.rule for f in result.findings] == ["part-switched-off"] * told

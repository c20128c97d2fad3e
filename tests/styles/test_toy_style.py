"""A style that lives in this folder alone is read, checked, edited and generated."""

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from pincheck import api, styles
from pincheck.cli.main import main
from pincheck.intake import Machine
from pincheck.maker.reference import Reference, reference
from pincheck.model.setting import STYLES, Activity
from pincheck.model.source import Source
from pincheck.model.wiring import Assembly

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(autouse=True, scope="module")
def registered() -> Iterator[None]:
    """Know the style while these tests run."""
    from toy.style import STYLE

    before = STYLES[:]
    styles.register(STYLE)
    yield
    STYLES[:] = before


@pytest.fixture(scope="module")
def assembly() -> Assembly:
    return api.load_wiring(api.demo("marsh-230-c.toml"))


@pytest.fixture(scope="module")
def made(assembly: Assembly) -> Reference:
    return reference(assembly, "toy")


def machine(text: str) -> Machine:
    source = Source.of_text("printer.toy", text)
    return Machine("printer", "toy", (source,), source, "")


def test_it_is_generated_read_back_and_agrees(made: Reference) -> None:
    """Its pins, its marks, its words for sensors and heaters are its own."""
    lines = made.machine.main.text.splitlines()
    said = {key: text for key, _, text in (line.split("  ")[0].partition(" <- ") for line in lines)}
    assert said["filament.sensor.pin"] == "+!PC3"
    assert said["z.endstop.homing"] == "probe:z_virtual_endstop"
    assert (said["hotend.sensor.part"], said["bed.sensor.part"]) == ("glass", "bead")
    assert said["hotend.fan.watches"] == "hotend"
    assert {line[:3] for line in lines[:7]} == {"-- "}
    assert not made.result.findings
    assert {v.state for v in made.result.verdicts} <= {"agrees", "not checked"}


def test_it_is_read_line_by_line() -> None:
    """Places, what is commented out, what is overridden, and what is no line of it."""
    text = "bed.heater.max_c <- 90\n-- bed.heater.power <- 1\nbed.heater.max_c <- 95 -- new\n"
    reading = styles.of("toy").read([Source.of_text("a.toy", text)])
    assert [(s.key, s.value, s.span.line, s.activity) for s in reading.settings] == [
        ("bed.heater.max_c", "90", 1, Activity.DISABLED),
        ("bed.heater.power", "1", 2, Activity.COMMENTED),
        ("bed.heater.max_c", "95", 3, Activity.ACTIVE),
    ]
    assert [(lost.value, won.value) for lost, won in reading.overridden] == [("90", "95")]
    (problem,) = styles.of("toy").read([Source.of_text("a.toy", "bed <- 1\n")]).problems
    assert (problem.span and problem.span.line) == 1


@pytest.mark.parametrize(
    ("right", "wrong", "rule", "mended"),
    [
        ("hotend.fan.pin <- PB6", "hotend.fan.pin <- PB5", "pin-differs", ""),
        ("filament.sensor.pin", "-- filament.sensor.pin", "role-not-configured", ""),
        ("hotend.sensor.part <- glass", "hotend.sensor.part <- bead", "sensor-table-differs", ""),
        ("heater.max_c <- 255", "heater.max_c <- 285", "heater-limit-too-high", ""),
        ("signal.pin <- +PB1", "signal.pin <- PB1", "probe-pull-missing", ""),
        ("filament.sensor.pin <- +!PC3", "filament.sensor.pin <- +PC3", "polarity-inverted", ""),
        ("fan.watches <- hotend", "fan.watches <- bed", "hotend-fan-watches-wrong-heater", ""),
    ],
)
def test_a_fault_is_found_and_mended_at_its_line(
    made: Reference, assembly: Assembly, right: str, wrong: str, rule: str, mended: str
) -> None:
    """One line spoilt brings its finding; the edit mends it and touches no other."""
    plain = made.machine.main.text
    spoilt = machine(plain.replace(right, wrong, 1))
    result = api.check(spoilt, assembly)
    assert rule in {finding.rule for finding in result.findings}
    trial = api.try_edits(spoilt, assembly, api.propose(result))
    assert not trial.result.findings
    spots = (
        (a, b) for a, b in zip(plain.split("\n"), _lines(trial.machine), strict=True) if a != b
    )
    assert [mended in line for _, line in spots] == [True] * bool(mended)


def test_a_missing_line_is_added_behind_its_kin(made: Reference, assembly: Assembly) -> None:
    plain = made.machine.main.text
    line = next(line for line in plain.split("\n") if line.startswith("hotend.heater.pin"))
    spoilt = machine(plain.replace(f"{line}\n", ""))
    trial = api.try_edits(spoilt, assembly, api.propose(api.check(spoilt, assembly)))
    assert not trial.result.findings
    (new,) = set(_lines(trial.machine)) - set(_lines(spoilt))
    assert new == "hotend.heater.pin <- PC8"


def _lines(machine: Machine) -> list[str]:
    return machine.main.text.split("\n")


def test_a_command_knows_it_by_its_content(
    made: Reference, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Beside a file of another style it is found, told, read and checked like any other."""
    (tmp_path / "printer.toy").write_text(made.machine.main.text)
    wiring = str(api.demo("marsh-230-c.toml"))
    assert main(["check", str(tmp_path), "--wiring", wiring]) == 0
    told = capsys.readouterr().out
    assert "toy style" in told
    assert "lines with an arrow" in told

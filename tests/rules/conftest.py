"""A machine that agrees, made by hand: the demo's wiring and claims of no style's files."""

import re
import shutil
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path

import pytest

from pincheck import api, resources
from pincheck.analysis.case import Case
from pincheck.check import trace_of
from pincheck.chips import chip
from pincheck.model.claim import Claim, Claims, Doubt, PinValue, Place, SensorValue, Value
from pincheck.model.finding import Agreement, Finding, Outcome, Result, Unchecked
from pincheck.model.setting import Activity, Setting, StyleName
from pincheck.model.source import Source
from pincheck.model.wiring import Assembly
from pincheck.rules.registry import rule_named
from pincheck.wiring import load

Spot = tuple[str, str]
Written = Value | Claim | None
Made = Callable[..., Case]

_PIN = re.compile(r'(?<=")(?:P[A-K]\d+|P\d\.\d+|gpio\d+)(?=")')


def pin(name: str, board: str = "main") -> PinValue:
    """Return a claimed pin."""
    return PinValue(name, Place(board, name))


CLEAN: Mapping[Spot, Value] = {
    ("hotend.heater", "pin"): pin("PC8"),
    ("hotend.heater", "inverted"): False,
    ("hotend.heater", "max_c"): 270.0,
    ("hotend.heater", "min_c"): 5.0,
    ("hotend.heater", "overshoot_c"): 15.0,
    ("hotend.heater", "max_power"): 1.0,
    ("hotend.heater", "protection"): True,
    ("hotend.sensor", "pin"): pin("PC5"),
    ("hotend.sensor", "table"): SensorValue("5", "ntc-100k-b4267-glass"),
    ("hotend.fan", "pin"): pin("PB6"),
    ("hotend.fan", "inverted"): False,
    ("hotend.fan", "watches"): "hotend.heater",
    ("hotend.fan", "threshold_c"): 50.0,
    ("part.fan", "pin"): pin("PB8"),
    ("part.fan", "inverted"): False,
    ("bed.heater", "pin"): pin("PA8"),
    ("bed.heater", "inverted"): False,
    ("bed.heater", "max_c"): 125.0,
    ("bed.heater", "min_c"): 5.0,
    ("bed.heater", "overshoot_c"): 10.0,
    ("bed.heater", "protection"): True,
    ("bed.sensor", "pin"): pin("PC4"),
    ("bed.sensor", "table"): SensorValue("11", "ntc-100k-b3950"),
    ("probe.signal", "pin"): pin("PB1"),
    ("probe.signal", "inverted"): False,
    ("probe.signal", "pull"): "up",
    ("probe.signal", "probe_kind"): "servo-deployed",
    ("probe.servo", "pin"): pin("PA1"),
    ("z.endstop", "homing_pin"): PinValue("probe", virtual=True),
    ("x.endstop", "pin"): pin("PC0"),
    ("x.endstop", "inverted"): False,
    ("x.endstop", "pull"): "up",
    ("y.endstop", "pin"): pin("PC1"),
    ("y.endstop", "inverted"): False,
    ("y.endstop", "pull"): "up",
    ("filament.sensor", "pin"): pin("PC3"),
    ("filament.sensor", "inverted"): True,
    ("filament.sensor", "pull"): "up",
    ("extruder.motor", "pin"): pin("PB3"),
    ("extruder.motor", "current_a"): 0.8,
    ("extruder.motor", "sense_ohm"): 0.11,
    ("x.motor", "pin"): pin("PA4"),
    ("y.motor", "pin"): pin("PA7"),
    ("z.motor", "pin"): pin("PB9"),
    ("hotend.heater", "protection_kind"): "window",
    ("hotend.heater", "trip_period_s"): 40.0,
    ("hotend.heater", "trip_hysteresis_c"): 4.0,
    ("hotend.heater", "watch_period_s"): 20.0,
    ("hotend.heater", "watch_increase_c"): 2.0,
    ("bed.heater", "protection_kind"): "window",
    ("bed.heater", "trip_period_s"): 20.0,
    ("bed.heater", "trip_hysteresis_c"): 2.0,
    ("bed.heater", "watch_period_s"): 60.0,
    ("bed.heater", "watch_increase_c"): 2.0,
}
"""What a configuration of the define style for the demo's machine claims."""


def claimed(spots: Mapping[Spot, Written], style: StyleName) -> tuple[Claim, ...]:
    """Return claims with a line each in a file `made`; a Claim is taken as it is."""
    lines = [f"{role} {attribute}\n" for role, attribute in spots]
    source = Source.of_text("made", "".join(lines))
    at = 0
    made = []
    for line, ((role, attribute), value) in zip(lines, spots.items(), strict=True):
        end = at + len(line) - 1
        setting = Setting(style, source, "", line, "", at, end, at, end, end, end)
        if isinstance(value, Claim):
            made.append(value)
        elif value is not None:
            made.append(Claim(role, attribute, value, setting))
        at += len(line)
    return tuple(made)


def rewired(text: str, changes: Sequence[tuple[str, str]]) -> str:
    """Return a wiring file with some text replaced, and with pins that its chip has.

    Where another chip is put on the board, or a pin is given to another net, every other net moves
    to a pin that is free: the chip has it, and has no duty for it. Drivers go without.
    """
    for number, (old, _) in enumerate(changes):
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        text = text.replace(old, f"<{number}>")
    said = "\n".join(new for _, new in changes)
    name = re.search(r'^chip = "(.*)"', f"{said}\n{text}", re.MULTILINE)
    known = chip(name[1]) if name else None
    if known:
        kept = {*known.pins} - {*_PIN.findall(said)}
        taken = {*_PIN.findall(said), *_PIN.findall(text)}
        usable = (p.name for p in known.pins.values() if not {*p.special} - {"radio"})
        free = (name for name in usable if name not in taken)
        lines = (line for line in text.splitlines(keepends=True)
                 if line.startswith("chip_pin") or kept.issuperset(_PIN.findall(line)))  # fmt: skip
        text = _PIN.sub(lambda at: at[0] if at[0] in kept else next(free), "".join(lines))
    for number, (_, new) in enumerate(changes):
        text = text.replace(f"<{number}>", new)
    return text


@cache
def _assembly(folder: Path, name: str) -> Assembly:
    return load(folder / name)


@pytest.fixture
def machine(tmp_path: Path) -> Made:
    """Return a maker of cases: the clean one with spots changed (None takes one out)."""

    def make(
        changed: Mapping[Spot, Written] | None = None,
        *,
        style: StyleName = "define",
        wiring: Iterable[tuple[str, str, str]] = (),
        assembly: str = "marsh-230-c.toml",
        doubts: tuple[Doubt, ...] = (),
        also: tuple[Claim, ...] = (),
        overridden: tuple[tuple[Claim, Claim], ...] = (),
    ) -> Case:
        folder = resources.folder("configs")
        if wiring := tuple(wiring):
            demo, folder = folder, tmp_path / "configs"
            shutil.copytree(demo / "boards", folder / "boards", dirs_exist_ok=True)
            for path in demo.glob("*.toml"):
                shutil.copy(path, folder)
            for file in dict.fromkeys(file for file, _, _ in wiring):
                text = (folder / file).read_text(encoding="utf-8")
                changes = [(old, new) for at, old, new in wiring if at == file]
                (folder / file).write_text(rewired(text, changes), encoding="utf-8")
        built = load(folder / assembly) if wiring else _assembly(folder, assembly)
        claims = claimed({**CLEAN, **(changed or {})}, style)
        return Case(
            Claims(style, (*claims, *also), overridden=overridden, doubts=doubts),
            trace_of(built),
            built,
        )

    return make


def run(rule: str, case: Case) -> tuple[Outcome, ...]:
    """Return all that one rule yields."""
    found = rule_named(rule)
    assert found is not None, f"no rule {rule}"
    return tuple(found.outcomes(case))


class Asked:
    """What one rule makes of a case."""

    def __init__(self, rule: str, case: Case) -> None:
        self.outcomes = run(rule, case)

    @property
    def findings(self) -> list[Finding]:
        """Return the findings."""
        return [o for o in self.outcomes if isinstance(o, Finding)]

    @property
    def finding(self) -> Finding:
        """Return the only finding."""
        assert len(self.findings) == 1, self.findings
        return self.findings[0]

    @property
    def agreed(self) -> set[Spot]:
        """Return the spots that agree."""
        return {(o.role, o.attribute) for o in self.outcomes if isinstance(o, Agreement)}

    @property
    def unchecked(self) -> dict[Spot, str]:
        """Return the spots that could not be evaluated, with the reason."""
        return {(o.role, o.attribute): o.reason for o in self.outcomes if isinstance(o, Unchecked)}


@pytest.fixture
def ask() -> Callable[[str, Case], Asked]:
    """Return what runs one rule over a case."""
    return Asked


@pytest.fixture(name="pin")
def make_pin() -> Callable[..., PinValue]:
    """Return a maker of claimed pins."""
    return pin


@pytest.fixture(name="possible")
def make_possible() -> Callable[..., Claim]:
    """Return a maker of claims that hold only under a condition."""
    return possible


def possible(role: str, attribute: str, value: Value, condition: str = "EXTRA_FAN") -> Claim:
    """Return a claim under a condition that the files do not decide."""
    source = Source.of_text("made", "KEY value")
    setting = Setting(
        "define", source, "", "KEY", "value", 0, 9, 0, 3, 4, 9, Activity.POSSIBLE, condition
    )
    return Claim(role, attribute, value, setting)


@pytest.fixture
def demo(tmp_path: Path) -> Callable[..., Result]:
    """Return a check of the clean demo with texts replaced, each of which stands there once."""

    def check(style: StyleName, *replaced: tuple[str, str, str]) -> Result:
        here, configs = resources.folder("configs"), tmp_path / "configs"
        shutil.copytree(here / "clean" / style, configs / "clean" / style, dirs_exist_ok=True)
        shutil.copytree(here / "boards", configs / "boards", dirs_exist_ok=True)
        for path in here.glob("*.toml"):
            shutil.copy(path, configs)
        for name, old, new in replaced:
            file = configs / (name if name.endswith(".toml") else f"clean/{style}/{name}")
            text = file.read_text(encoding="utf-8")
            assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
            file.write_text(text.replace(old, new), encoding="utf-8")
        read = api.load_configuration(configs / "clean" / style, style=style)
        rewired = any(name.endswith(".toml") for name, _, _ in replaced)
        wiring = (
            load(configs / "marsh-230-c.toml") if rewired else _assembly(here, "marsh-230-c.toml")
        )
        return api.check(read, wiring)

    return check


@pytest.fixture
def scripts(tmp_path: Path) -> Callable[..., Result]:
    """Return a check of the demo's scripts with texts replaced and whole scripts put in."""

    def look(*swaps: tuple[str, str], **files: str) -> Result:
        demo = resources.folder("configs")
        folder = tmp_path / "clean/gcode"
        folder.mkdir(parents=True, exist_ok=True)
        texts = {path.stem: path.read_text() for path in (demo / "clean/gcode").iterdir()}
        for old, new in swaps:
            assert any(old in text for text in texts.values()), old
            texts = {name: text.replace(old, new) for name, text in texts.items()}
        for name, text in {**texts, **files}.items():
            (folder / f"{name}.g").write_text(text)
        read = api.load_configuration(folder)
        return api.check(read, _assembly(demo, "marsh-230-c.toml"))

    return look

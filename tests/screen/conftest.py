"""A small machine on disk, and an engine with findings written by hand so that they stay put."""

import asyncio
import shutil
import time
from collections.abc import Awaitable, Callable, Iterator, Sequence
from pathlib import Path

import pytest
from attrs import define, evolve, field, frozen
from textual.events import Key

from pincheck import api
from pincheck.edits.trial import Trial, attempt
from pincheck.intake import Machine, read
from pincheck.model.finding import (
    Edit,
    Fact,
    Finding,
    Input,
    Moment,
    Number,
    Proposal,
    Result,
    Severity,
    Verdict,
)
from pincheck.model.wiring import Assembly
from pincheck.screen.app import PincheckApp
from pincheck.screen.base_screen import BaseScreen
from pincheck.screen.engine import Checked, DiskEngine, OnStage

HERE = Path(__file__).parent
PATIENCE_S = 120
"""When to give up; nothing is measured by it."""

NAMED = {"space": " ", "colon": ":", "slash": "/", "question_mark": "?", "full_stop": "."}
"""Keys that are not called by what they type."""

SIZES = {"80x24": (80, 24), "60x20": (60, 20), "160x50": (160, 50)}


def _findings(result: Result) -> Iterator[tuple[Finding, tuple[tuple[str, str, str], ...], str]]:
    """Yield findings with (attribute's role, attribute, right value) and the edit's note."""
    claims, trace = result.claims, result.trace

    def claim(role: str, attribute: str):
        return claims.find(role, attribute)

    table = claim("hotend.sensor", "table")
    if table and "PT1000" in table.setting.value:
        wired = trace.find("hotend.sensor")
        yield (
            Finding(
                rule="sensor-table-differs",
                severity=Severity.DANGER,
                when=Moment.HEATING,
                spots=(("hotend.sensor", "table"),),
                message="The hot-end sensor is read as another part: at a true 260 C the firmware "
                "believes -198 C; asked for 260 C it heats without end.",
                claims=(table,),
                facts=(Fact("hotend.sensor", "table", "100 k NTC, beta 3950", wired.path),),
                numbers=(
                    Number(
                        "believed at a true 260 C",
                        -197.8,
                        "C",
                        "R(T) of the fitted sensor read back through the assumed one",
                        (
                            Input("fitted sensor", "100 k NTC", "", "part ntc-100k-b3950"),
                            Input("pull-up", 4700.0, "ohm", "wiring of hotend.sensor"),
                        ),
                        "IEC 60751",
                    ),
                ),
            ),
            (("hotend.sensor", "table", "Generic 3950"),),
            "machine.cfg:7 sensor_type: PT1000 becomes Generic 3950",
        )
    top = claim("hotend.heater", "max_c")
    if top and top.value > 260:
        yield (
            Finding(
                rule="heater-limit-too-high",
                severity=Severity.DANGER,
                when=Moment.HEATING,
                spots=(("hotend.heater", "max_c"),),
                message=f"Firmware lets the hot-end heater go to {top.value:g} C, "
                f"{top.value - 260:g} K more than the liner stands (260 C).",
                claims=(top,),
                facts=(Fact("hotend.heater", "max_c", "liner: 260 C"),),
                numbers=(Number("highest settable temperature", top.value, "C", "max_temp"),),
            ),
            (("hotend.heater", "max_c", "255"),),
            "machine.cfg:9 max_temp: 300 becomes 255",
        )
    part, hotend = claim("part.fan", "pin"), claim("hotend.fan", "pin")
    if part and hotend and part.setting.value == "PB6" and hotend.setting.value == "PB7":
        yield (
            Finding(
                rule="pins-swapped",
                severity=Severity.FAULT,
                when=Moment.PRINTING,
                spots=(("hotend.fan", "pin"), ("part.fan", "pin")),
                message="Hot-end fan and part fan are on each other's pins: the hot-end fan stands "
                "still on first layers.",
                claims=(hotend, part),
                facts=tuple(
                    Fact(role, "pin", str(trace.find(role).place.pin), trace.find(role).path)
                    for role in ("hotend.fan", "part.fan")
                ),
                advice="If only the plugs are exchanged on the board, re-plug them instead.",
            ),
            (("hotend.fan", "pin", "PB6"), ("part.fan", "pin", "PB7")),
            "set both pins to what the copper does",
        )
    warm = claim("hotend.fan", "threshold_c")
    if warm and warm.value > 60:
        yield (
            Finding(
                rule="hotend-fan-threshold-high",
                severity=Severity.ADVICE,
                when=Moment.PRINTING,
                spots=(("hotend.fan", "threshold_c"),),
                message=f"The hot-end fan stands still until the hot end is at {warm.value:g} C.",
                claims=(warm,),
            ),
            (("hotend.fan", "threshold_c", "50"),),
            "weakens the cold start: heater_temp 50",
        )


@define
class Written(DiskEngine):
    """The engine over files, its findings written by hand; `checks` counts its runs."""

    checks: list[int] = field(factory=list)

    def check(self, stage: OnStage) -> Checked:
        stage("reading the wiring")
        assembly = _wiring(self.wiring)
        stage("reading the configuration")
        machine = api.load_configuration(*self.configuration)
        stage("checking")
        self.checks.append(1)
        return self.checked(machine, assembly)

    def checked(self, machine: Machine, assembly) -> Checked:
        claims, problems = api.claims(machine, assembly)
        blank = Result(
            machine=assembly.name,
            assembly=assembly,
            trace=api.trace(assembly),
            reading=read(machine),
            claims=claims,
            findings=(),
            verdicts=(),
            problems=problems,
        )
        rows = list(_findings(blank))
        proposals = tuple(_proposal(blank, *row) for row in rows)
        found = tuple(row[0] for row in rows)
        return Checked(machine, evolve(blank, findings=found, verdicts=_verdicts(found)), proposals)

    def attempt(self, checked: Checked, proposals: Sequence[Proposal]) -> Trial:
        def again(edited: Machine) -> Result:
            return self.checked(edited, checked.assembly).result

        return attempt(checked.machine, checked.result, proposals, again)


_KNOWN: dict[tuple[str, ...], Assembly] = {}


def _wiring(path: Path) -> Assembly:
    """Load wiring, once for the same texts: every test has its own copy of the same files."""
    texts = tuple(file.read_text() for file in (path, *sorted(path.parent.glob("boards/*"))))
    if texts not in _KNOWN:
        _KNOWN[texts] = api.load_wiring(path)
    return _KNOWN[texts]


def _proposal(result: Result, finding: Finding, wanted, note: str) -> Proposal:
    edits = []
    for role, attribute, value in wanted:
        span = result.claims.find(role, attribute).setting.value_span
        edits.append(Edit(span.source, span.start, span.end, value))
    return Proposal(finding, tuple(edits), note, safe=not note.startswith("weakens"))


def _verdicts(findings: Sequence[Finding]) -> tuple[Verdict, ...]:
    against: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        for spot in finding.spots:
            against.setdefault(spot, []).append(finding)
    spots = [
        *((role, "pin") for role in ("hotend.heater", "hotend.sensor", "hotend.fan")),
        ("hotend.heater", "max_c"),
        ("hotend.heater", "protection"),
        ("hotend.sensor", "table"),
        ("hotend.fan", "threshold_c"),
        ("part.fan", "pin"),
        ("z.endstop", "pin"),
    ]
    unsure = {("part.fan", "pwm_hz"): "the files do not say which frequency the fan gets"}
    return (
        *(
            Verdict(*spot, "contradicts", findings=tuple(against[spot]))
            if spot in against
            else Verdict(*spot, "agrees")
            for spot in spots
        ),
        *(Verdict(*spot, "not checked", reason) for spot, reason in unsure.items()),
    )


@pytest.fixture
def machine(tmp_path: Path) -> Path:
    """A folder with the small machine: `printer/machine.cfg` and `fen-180.toml`."""
    shutil.copytree(HERE / "machine", tmp_path / "machine")
    return tmp_path / "machine"


@pytest.fixture
def engine(machine: Path) -> Written:
    """The engine with hand-written findings over that folder."""
    return Written((machine / "printer",), machine / "fen-180.toml")


@frozen
class Seen:
    """What a run of the screen left: the last characters drawn and the place they show."""

    text: str
    place: BaseScreen | None


class Bench:
    """Holds the open screen: press keys, wait, look."""

    def __init__(self, app: PincheckApp, pilot) -> None:
        self.app, self.pilot = app, pilot

    async def press(self, *keys: str) -> str:
        """Press keys one by one, each with its work done, and return what is drawn."""
        for key in keys:
            typed = NAMED.get(key, key)
            self.app.post_message(Key(key, typed if len(typed) == 1 else None))
            await self.settled()
        return self.look()

    async def type(self, words: str) -> str:
        """Type characters."""
        named = {character: name for name, character in NAMED.items()}
        return await self.press(*(named.get(c, c) for c in words))

    async def settled(self) -> None:
        """Wait until no work goes on and all is painted."""
        await self.painted()
        end = time.monotonic() + PATIENCE_S
        while self.app.session.doing or any(worker.is_running for worker in self.app.workers):
            assert time.monotonic() < end, "work goes on for ever"
            await asyncio.sleep(0.001)
            await self.painted()

    async def painted(self) -> None:
        """Wait until nothing is left to run but what waits for a thread or a time."""
        ready = asyncio.get_running_loop()._ready  # the toolkit's own wait looks at the clock
        while self.app.is_running:
            await asyncio.sleep(0)
            if ready:
                continue
            self.app.screen._on_timer_update()
            await asyncio.sleep(0)
            if not ready:
                return

    async def until(self, words: str) -> str:
        """Wait until words are drawn; giving up after `PATIENCE_S` measures nothing."""
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            await self.painted()
            if words in self.look():
                return self.look()
            await asyncio.sleep(0.005)
        raise AssertionError(f"never drawn: {words}\n{self.look()}")

    def look(self) -> str:
        """Return the characters on the screen, a line each, blanks at the end dropped."""
        strips = self.app.screen._compositor.render_strips()
        return "\n".join(strip.text.rstrip() for strip in strips) + "\n"


Then = Callable[[Bench], Awaitable[None]]


@pytest.fixture
def drive(engine: Written) -> Callable[..., Seen]:
    """Run the screen at a size, press keys, and hand it over while it is open."""

    def run(*keys: str, size=(80, 24), then: Then | None = None, over=None, **options) -> Seen:
        app = PincheckApp(over or engine, still=True, **options)

        async def go() -> Seen:
            async with app.run_test(size=size) as pilot:
                bench = Bench(app, pilot)
                await bench.settled()
                seen = await bench.press(*keys)
                if then:
                    await then(bench)
                    seen = bench.look()
                return Seen(seen, app.here)

        return asyncio.run(go())

    return run

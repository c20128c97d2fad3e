"""What a fitted part is between its terminals."""

from collections.abc import Iterator

from pincheck.circuit.network import Band, Element, Key, Kind, Node, exactly
from pincheck.model.wiring import Fit
from pincheck.physics.heater import element_ohm

_SENSOR = Band(100.0, 100_000.0, 200_000.0, "a sensor of 0.1 to 200 kohm")
_COIL = Band(1.0, 2.5, 30.0, "a coil of 1 to 30 ohm")
_INPUT = Band(1_000.0, 100_000.0, 1e7, "an input of 1 kohm to 10 Mohm")
_OUTPUT = Band(10.0, 100.0, 1_000.0, "an output of 10 to 1000 ohm")
_CONTACT_OHM = 0.1
_JUNCTION_OHM = 1.0
"""A thermocouple with its wires."""

_LIKELY_A = {"fan": 0.2, "servo": 0.7, "probe": 0.03, "endstop": 0.02, "output": 0.3}
"""Of parts that give no current; the band is a tenth to three times of it (`common practice`)."""


def part_elements(fit: Fit, usual_v: float) -> Iterator[Element]:
    """Yield the elements of a fitted part; `usual_v` is what one without a rating is made for."""
    part, wants = fit.part, fit.part.terminals
    if part.kind == "motor":
        ohm = exactly(part.phase_ohm) if part.phase_ohm else _COIL
        for coil, first in enumerate(range(0, len(wants) - 1, 2)):
            yield _element(fit, ("part", fit.name, coil), "part", first, first + 1, ohm)
        return
    ends = _ends(wants)
    if ends is None:
        return
    plus, minus = ends
    if part.kind == "heater":
        known = part.resistance_ohm or (
            element_ohm(part.rated_v, part.power_w) if part.rated_v and part.power_w else None
        )
        if known:
            share = (part.tolerance_pct or 0.0) / 100
            ohm = Band(known * (1 - share), known, known * (1 + share))
            yield _element(fit, ("part", fit.name), "part", plus, minus, ohm)
    elif part.kind == "sensor":
        couple = part.sensor.startswith("thermocouple")
        ohm = exactly(part.resistance_ohm) if part.resistance_ohm else _SENSOR
        ohm = exactly(_JUNCTION_OHM) if couple else ohm
        yield _element(fit, ("part", fit.name), "part", plus, minus, ohm)
    elif part.signal.output == "switch" and "supply" not in wants:
        closed = part.signal.triggered == "high"
        ohm = exactly(_CONTACT_OHM)
        yield _element(fit, ("part", fit.name), "part", plus, minus, ohm, closed=closed)
    else:
        yield _load(fit, plus, minus, usual_v)
        yield from _lines(fit, minus)


def _ends(wants: tuple[str, ...]) -> tuple[int, int] | None:
    """Return the two terminals that a part's own current flows between."""
    named = [n for n, want in enumerate(wants) if want]
    plus = next((n for n in named if wants[n] == "supply"), None)
    minus = next((n for n in named if wants[n] in ("ground", "switched")), None)
    rest = [n for n in named if n not in (plus, minus)]
    plus = plus if plus is not None else next(iter(rest), None)
    minus = minus if minus is not None else next((n for n in rest if n != plus), None)
    return None if plus is None or minus is None else (plus, minus)


def _load(fit: Fit, plus: int, minus: int, usual_v: float) -> Element:
    part = fit.part
    volts = part.rated_v or usual_v
    if part.current_a is None:
        likely = volts / _LIKELY_A.get(part.kind, 0.1)
        ohm = Band(likely / 3, likely, likely * 10, f"the current of {part.id}")
        return _element(fit, ("part", fit.name), "part", plus, minus, ohm)
    ohm = exactly(volts / part.current_a)
    key: Key = ("part", fit.name)
    return _element(fit, key, "part", plus, minus, ohm, rated_a=part.current_a)


def _lines(fit: Fit, minus: int) -> Iterator[Element]:
    """Yield what a part reads and drives, against its own ground."""
    part = fit.part
    for terminal, want in enumerate(part.terminals):
        if terminal == minus:
            continue
        key: Key = ("line", fit.name, terminal)
        if want == "control":
            yield _element(fit, key, "input", terminal, minus, _INPUT)
        signal = {"signal": part.signal, "tachometer": part.tachometer}.get(want)
        if signal and signal.output:
            drives = signal.output in ("push-pull", "pnp")
            volts = (signal.signal_v or part.rated_v or 0.0) if drives else 0.0
            yield _element(fit, key, "output", minus, terminal, _OUTPUT, emf_v=volts, closed=False)


def _element(
    fit: Fit,
    key: Key,
    kind: Kind,
    one: int,
    two: int,
    ohm: Band,
    *,
    emf_v: float = 0.0,
    closed: bool = True,
    rated_a: float | None = None,
) -> Element:
    first, second = (Node("terminal", fit.name, str(number)) for number in (one, two))
    return Element(key, kind, first, second, ohm, emf_v, closed, rated_a)

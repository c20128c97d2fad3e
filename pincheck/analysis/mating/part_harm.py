"""Parts that die, run, heat or stay dead, and roles that hang on another's pin."""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.mating.comparison import Comparison
from pincheck.analysis.mating.copper_harm import amps_words
from pincheck.analysis.mating.harm import Harm, HarmKind
from pincheck.analysis.mating.solved import place_words
from pincheck.circuit import Element, Node
from pincheck.model.claim import Place
from pincheck.model.path import Wired
from pincheck.model.wiring import Fit

_MORE = 1.2
"""Electronic parts are certainly overloaded from a fifth and one volt over their rating on."""

_RUNS, _OFF, _HEATS = 0.3, 0.1, 0.15
"""Shares of its rated voltage from which a part runs and below which it is off, and the share of
its power from which a heater counts as on (`common practice`)."""

_SENSOR_W = 0.25
"""A bead, a film or a thermocouple that takes more is destroyed (`common practice`)."""

_OUTPUT_A = 0.1
"""What the output of an end stop or probe carries at most (`common practice`)."""

_LEAST_V = 0.5
_REVERSED_V, _REVERSED = -1.0, 0.2
"""Less than a volt, or a fifth of its rating, is no supply the wrong way round."""

_SENSORS = frozenset(("hotend.sensor", "bed.sensor", "chamber.sensor", "aux.sensor"))


def part_harms(it: Comparison) -> Iterator[Harm]:
    """Yield what happens to every fitted part."""
    for fit in it.wrong.assembly.fits:
        name = roles.name(fit.role)
        for key, element in it.wrong.network.elements.items():
            if key[:2] == ("part", fit.name):
                match fit.part.kind:
                    case "motor":
                        yield from _coil(it, fit, element, name)
                    case "heater":
                        yield from _heater(it, fit, element, name)
                    case "sensor":
                        yield from _sensor(it, fit, element, name)
                    case _ if element.closed:
                        yield from _load(it, fit, element, name)
        yield from _lines(it, fit, name)
        if _loose(it, fit):
            text = f"the {name} has a wire that ends nowhere"
            yield Harm("dead", name, text, 0.0, it.at_part(fit))


def _across(it: Comparison, element: Element) -> tuple[list[float], list[float]]:
    """Return the volts of a part in the states, wrong and right."""
    before = it.right.network.elements[element.key]
    return (
        [state.across_v(element) for state in it.wrong.states],
        [state.across_v(before) for state in it.right.states],
    )


def _coil(it: Comparison, fit: Fit, element: Element, name: str) -> Iterator[Harm]:
    rest, _, turning = (abs(state.current_a(element.key)) for state in it.wrong.states)
    right = abs(it.right.states[2].current_a(element.key))
    if rest > 1.5 * (fit.part.current_a or 1.0):
        text = f"a coil of the {name} carries {rest:.3g} A at rest"
        yield Harm("burns", name, text, rest, it.at_part(fit))
    elif right > 0.1 and turning < 0.5 * right:
        yield Harm("dead", name, f"the {name} does not turn: a coil is off", 0.0, it.at_part(fit))


def _heater(it: Comparison, fit: Fit, element: Element, name: str) -> Iterator[Harm]:
    wrong, right = _across(it, element)
    ohm = element.ohm.nominal
    rest_w, on_w, full_w = wrong[0] ** 2 / ohm, wrong[1] ** 2 / ohm, right[1] ** 2 / ohm
    if rest_w > _HEATS * full_w and rest_w > 2 * right[0] ** 2 / ohm:
        text = f"the {name} heats with {rest_w:.3g} W whatever the firmware does"
        yield Harm("heats", name, text, abs(wrong[0]) / ohm, it.at_part(fit))
    elif on_w > 1.3 * full_w:
        text = f"the {name} heats with {on_w:.3g} W instead of {full_w:.3g} W"
        yield Harm("heats", name, text, abs(wrong[1]) / ohm, it.at_part(fit))
    elif on_w < _HEATS * full_w:
        yield Harm("dead", name, f"the {name} stays cold", 0.0, it.at_part(fit))


def _sensor(it: Comparison, fit: Fit, element: Element, name: str) -> Iterator[Harm]:
    power_w = max(abs(s.current_a(element.key) * s.across_v(element)) for s in it.wrong.states)
    if power_w > _SENSOR_W:
        amps = it.wrong.highest_a(element)
        text = f"the {name} takes {power_w:.2g} W"
        yield Harm("dies", name, text, amps, it.at_part(fit))


def _load(it: Comparison, fit: Fit, element: Element, name: str) -> Iterator[Harm]:
    part, pins = fit.part, it.at_part(fit)
    wrong, right = _across(it, element)
    amps = it.wrong.highest_a(element)
    rated = part.rated_v or max(map(abs, right))
    if rated < _LEAST_V:
        return  # a bare contact: what it shorts is told of the supply
    most = max(part.supply_max_v or 0.0, rated * _MORE + 1.0)
    polar = "supply" in part.terminals
    turned = min(_REVERSED_V, -_REVERSED * rated)
    if polar and min(wrong) < turned < min(right):
        text = f"the {name} gets {-min(wrong):.3g} V the wrong way round"
        yield Harm("dies", name, text, amps, pins)
    elif max(wrong) > most:
        text = f"the {name} gets {max(wrong):.3g} V and is made for {rated:.3g} V"
        yield Harm("dies", name, text, amps, pins)
    elif abs(wrong[0]) > _RUNS * rated and abs(right[0]) < _OFF * rated:
        text = f"the {name} runs on {abs(wrong[0]):.3g} V whatever the firmware does"
        yield Harm("runs", name, text, amps, pins)
    elif abs(wrong[1]) < _RUNS * rated and abs(right[1]) > 0.5 * rated:
        yield Harm("dead", name, f"the {name} gets no supply", 0.0, pins)


def _lines(it: Comparison, fit: Fit, name: str) -> Iterator[Harm]:
    """Yield what a part's signal terminals get over its own ground, and what they drive."""
    part, wants = fit.part, fit.part.terminals
    minus = next((n for n, want in enumerate(wants) if want == "ground"), None)
    stands = max(part.signal.signal_v or 0.0, part.rated_v or 0.0, 5.0) * _MORE + 1.0
    for terminal, want in enumerate(wants):
        if want not in ("signal", "control", "tachometer"):
            continue
        if minus is not None:
            ends = (Node("terminal", fit.name, str(n)) for n in (terminal, minus))
            high, low = (it.wrong.states[0].volts(node) for node in ends)
            if high is not None and low is not None and not -1.0 < high - low < stands:
                text = f"the {want} wire of the {name} gets {high - low:.3g} V"
                yield Harm("dies", name, text, 0.0, it.at_part(fit))
        line = it.wrong.network.elements.get(("line", fit.name, terminal))
        if line and line.kind == "output":
            amps = it.wrong.highest_a(line)
            if amps > max(_OUTPUT_A, 2 * it.right.highest_a(line)):
                text = f"the output of the {name} carries {amps_words(amps)}"
                yield Harm("dies", name, text, amps, it.at_part(fit))


def _loose(it: Comparison, fit: Fit) -> bool:
    """Whether a terminal that met a net meets none."""
    was = next(each for each in it.right.assembly.fits if each.name == fit.name)
    ends = range(len(fit.part.terminals))
    return any(it.right.copper.at_terminal(was, n) for n in ends) and any(
        it.right.copper.at_terminal(was, n) and not it.wrong.copper.at_terminal(fit, n)
        for n in ends
    )


def role_harms(it: Comparison) -> Iterator[Harm]:
    """Yield the roles that hang on another chip pin or driver than before, or on none."""
    homes: dict[Place | str, str] = {}
    for wired in it.right.trace.wired:
        if home := _home(wired):
            homes.setdefault(home, wired.role)
    for now in it.wrong.trace.wired:
        before = it.right.trace.find(now.role)
        was, home = before and _home(before), _home(now)
        if was is None or was == home:
            continue
        name, pins = roles.name(now.role), it.at_part(now.fit)
        if home is None:
            yield Harm("dead", name, f"the {name} reaches no chip pin", 0.0, pins)
            continue
        other = homes.get(home, "")
        on = place_words(it.wrong.copper, home) if isinstance(home, Place) else home
        where = f"where the {roles.name(other)} belongs" if other else f"on {on}"
        blind = (
            roles.family(now.role) in _SENSORS and bool(other) and roles.family(other) in _SENSORS
        )
        hot = roles.function(now.role) == "heater" and (now.switched_net or now.path.driver)
        kind: HarmKind = "heats" if blind or hot else "crossed"
        yield Harm(kind, name, f"the {name} hangs {where}", 0.0, pins)


def _home(wired: Wired) -> Place | str | None:
    driver = wired.path.driver
    return wired.place or (f"driver {driver.name}" if driver else None)

"""Supplies shorted, conductors and switches overloaded, chips and drivers destroyed."""

from collections.abc import Iterator
from functools import lru_cache

from pincheck.analysis.currents import track_current_a
from pincheck.analysis.mating.comparison import Comparison
from pincheck.analysis.mating.harm import Harm, HarmKind
from pincheck.analysis.mating.solved import net_of
from pincheck.circuit import Carrier
from pincheck.model.wiring import Track, Wire
from pincheck.physics.conductor import CHASSIS_A, wire_current_a
from pincheck.wiring.copper import NetKey

_CLAMP_A = 0.005
_PIN_A = 0.025
"""Current into a pin's protection diodes, and out of a pin, that data sheets of usual 32-bit
controllers allow (DS9716 of STM32F401, table of current characteristics): more may destroy it."""

_PIN_V, _TOLERANT_V = 6.0, 5.5
"""What a pin that is tolerant to 5 V certainly does not stand, and what it is made for."""

SHORT_A = 20.0
"""A supply without a stated limit that gives as much is shorted (`common practice`)."""

_ALL = 0.85
"""Share of its limit from which a supply that sinks counts as giving all it has."""

_BURNS = 1.5
"""Over this share of its rating a conductor gets more than twice the heat that it is made for."""


def copper_harms(it: Comparison) -> Iterator[Harm]:
    """Yield what happens to supplies, conductors, switches, chip pins and drivers."""
    loaded = tuple(_loaded(it))
    yield from _shorts(it, loaded)
    yield from _overloads(it, loaded)
    yield from _reversed(it)
    yield from _diodes(it)
    yield from _outputs(it)
    yield from _drivers(it)


_Loaded = tuple[Carrier, float, float]
"""What carries too much: its highest current and what it may carry, both in A."""


def _shorts(it: Comparison, loaded: tuple[_Loaded, ...]) -> Iterator[Harm]:
    for source in it.wrong.network.of_kind("supply", "converter"):
        limit = it.wrong.limit_a(source)
        given = [it.wrong.given_a(state, source) for state in it.wrong.states]
        before = [0.0 for _ in given]
        if source.key in it.right.network.elements:
            before = [it.right.given_a(state, source) for state in it.right.states]
        enough = _ALL * limit if limit else SHORT_A
        shorted = [now for now, was in zip(given, before, strict=True) if now > enough > was]
        if not shorted:
            continue
        amps = max(shorted)
        label = f"{source.key[2]} of {it.wrong.copper.label(str(source.key[1]))}"
        worst = max(loaded, key=lambda each: each[1] / each[2], default=None)
        way = ""
        burns = worst is not None and worst[1] > _BURNS * worst[2]
        if worst and burns:
            way = f", {worst[1]:.3g} A through {_named(worst[0])}, good for {worst[2]:.3g} A"
        kind: HarmKind = "burns" if burns or source.kind == "supply" else "dies"
        most = f"{amps:.3g} A, all that it gives" if limit else amps_words(amps)
        yield Harm(kind, label, f"{label} is shorted: {most}{way}", amps, it.strongest())


def _reversed(it: Comparison) -> Iterator[Harm]:
    """Yield the boards with a chip that get their supply the wrong way round."""
    told: set[str] = set()
    for draws in it.wrong.network.of_kind("draws"):
        board = str(draws.key[1])
        if draws.key not in it.right.network.elements or board in told:
            continue
        before = it.right.network.elements[draws.key]
        rest = it.wrong.states[0]
        held = rest.volts(draws.one) is not None and rest.volts(draws.two) is not None
        if held and rest.across_v(draws) < -0.5 and it.right.states[0].across_v(before) > 0.5:
            told.add(board)
            label = it.wrong.copper.label(board)
            text = f"{label} gets its supply the wrong way round"
            sources = it.wrong.network.of_kind("supply")
            amps = max((it.wrong.given_a(rest, source) for source in sources), default=0.0)
            yield Harm("dies", label, text, amps, it.strongest())


def _loaded(it: Comparison) -> Iterator[_Loaded]:
    """Yield every conductor and switch that the mating overloads."""
    for carrier in it.wrong.network.carriers:
        may = _may_a(carrier)
        if may is None:
            continue
        amps = max(state.through_a(carrier) for state in it.wrong.states)
        if amps <= may:
            continue
        before = 0.0
        if carrier in it.right.network.carriers:
            before = max(state.through_a(carrier) for state in it.right.states)
        if amps - before > 0.1 * may:
            yield carrier, amps, may


def _overloads(it: Comparison, loaded: tuple[_Loaded, ...]) -> Iterator[Harm]:
    """Yield each switch over its rating, and the worst conductor for all of them."""
    conductors = [each for each in loaded if each[0].kind != "switch"]
    for carrier, amps, may in loaded:
        if carrier.kind == "switch":
            label = _named(carrier)
            text = f"{label} carries {amps:.3g} A and stands {may:.3g} A"
            key = str(carrier.key[1]), str(carrier.key[2])
            yield Harm("dies", label, text, amps, it.at_net(key))
    if conductors:
        carrier, amps, may = max(conductors, key=lambda each: each[1] / each[2])
        more = f", and {len(conductors) - 1} more like it" if len(conductors) > 1 else ""
        text = f"{carrier.what} carries {amps:.3g} A and may carry {may:.3g} A{more}"
        kind: HarmKind = "burns" if amps > _BURNS * may else "strained"
        yield Harm(kind, "conductors", text, amps, it.strongest())


def _diodes(it: Comparison) -> Iterator[Harm]:
    rest, _, motors = it.wrong.states
    for element in it.wrong.network.of_kind("diode"):
        key, of = net_of(element), element.key[3]
        if of in ("under", "over"):
            amps, stands, into = rest.current_a(element.key), _CLAMP_A, "its protection diode"
        elif of in ("low", "high"):
            amps, stands, into = motors.current_a(element.key), 1.5 * _driver_a(it, key), "a diode"
        else:
            continue
        if amps - it.right.highest_a(element) > stands:
            what = _end(it, key)
            text = f"{what} gets {amps_words(amps)} through {into}, good for {amps_words(stands)}"
            yield Harm("dies", what, text, min(amps, SHORT_A), it.at_net(key))
    for element in it.wrong.network.of_kind("input"):
        if element.key[0] != "input" or len(element.key) != 3:
            continue
        if not it.wrong.copper.net(net_of(element)).chip_pin:
            continue
        if ("diode", *element.key[1:], "over") in it.wrong.network.elements:
            continue
        if (volts := rest.across_v(element)) > _PIN_V:
            what = _end(it, net_of(element))
            text = f"{what} gets {volts:.3g} V and stands {_TOLERANT_V:g} V"
            yield Harm("dies", what, text, 0.0, it.at_net(net_of(element)))


def _outputs(it: Comparison) -> Iterator[Harm]:
    for element in it.wrong.network.of_kind("output"):
        if element.key[0] != "output":
            continue
        amps = it.wrong.highest_a(element)
        if amps > 2 * max(_PIN_A, it.right.highest_a(element)):
            what = _end(it, net_of(element))
            text = f"{what} drives against {amps_words(amps)} and stands {amps_words(_PIN_A)}"
            yield Harm("dies", what, text, amps, it.at_net(net_of(element)))


def _drivers(it: Comparison) -> Iterator[Harm]:
    """Yield the drivers whose lower transistors close on a supply."""
    for element in it.wrong.network.of_kind("driver"):
        board, name = str(element.key[1]), str(element.key[2])
        amps = it.wrong.states[2].current_a(element.key)
        driver = it.wrong.assembly.boards[board].drivers[name]
        if element.key[-1] == "back" and amps > 2 * (driver.max_a or 1.0):
            what = f"driver {name} of {it.wrong.copper.label(board)}"
            text = f"{what} shorts a supply while its motor turns: {amps_words(amps)}"
            nets = it.wrong.assembly.boards[board].nets
            keys = ((board, net) for net, each in nets.items() if each.driver == name)
            yield Harm("dies", what, text, min(amps, SHORT_A), it.at_net(*keys))


def _driver_a(it: Comparison, key: NetKey) -> float:
    driver = it.wrong.assembly.boards[key[0]].drivers.get(it.wrong.copper.net(key).driver)
    return (driver and driver.max_a) or 1.0


def _end(it: Comparison, key: NetKey) -> str:
    net, board = it.wrong.copper.net(key), it.wrong.copper.label(key[0])
    return f"{net.chip_pin or f'driver {net.driver}'} of {board}"


def _named(carrier: Carrier) -> str:
    return f"the switch of {carrier.key[2]}" if carrier.kind == "switch" else carrier.what


def amps_words(amps: float) -> str:
    """Return a current in words, no more of a short than that it is one."""
    if amps >= SHORT_A:
        return f"more than {SHORT_A:.0f} A"
    return f"{amps * 1000:.3g} mA" if amps < 1 else f"{amps:.2g} A"


@lru_cache(maxsize=1024)
def _may_a(carrier: Carrier) -> float | None:
    match carrier.rating:
        case Track() as track:
            return track_current_a(track) if track.width_mm else None
        case Wire() as wire:
            return wire_current_a(wire.awg) if wire.awg in CHASSIS_A else None
        case float() | int() as amps:
            return float(amps)
    return None

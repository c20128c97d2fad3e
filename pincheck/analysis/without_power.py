"""The circuit of a machine without power, as a meter finds it: plugs pulled, parts in a cool room.

Electronics and diodes are a resistance at a meter's test voltage that nobody knows: it may be as
little as they draw in use, or none that is shown.
"""

from collections.abc import Collection, Iterator, Mapping

from attrs import evolve

from pincheck.analysis.sensor_chain import part_band
from pincheck.circuit import Band, Circuit, Element, Network, Node, Solution
from pincheck.circuit.assembly import CONTACT
from pincheck.circuit.network import Key, exactly
from pincheck.model.wiring import Fit, Part
from pincheck.sensors import fitted

RAILS_OHM = 100.0
"""Less than this between two rails is a short; electronics show more (`common practice`)."""

ROOM_K = 3.0
"""How far a part that has stood for an hour may be from the room (`common practice`)."""

HEATER_PCT, COIL_PCT = 10.0, 15.0
"""Taken where the part gives no tolerance (`common practice`)."""

CLOSED_OHM = 2.0
"""A closed contact shows no more (`common practice`)."""

_JUNCTION_OHM = 500.0
"""A silicon junction at a milliampere, where a meter's voltage opens one (`common practice`)."""

_NOTHING_OHM = 1e9

ConnectorKey = tuple[str, str]
"""(board key, connector)."""

Ends = tuple[Solution, Solution, Solution]
"""With every resistance at its lowest, as it is likely, and at its highest."""


def unpowered(
    network: Network,
    fits: tuple[Fit, ...],
    room_c: float,
    pulled: Collection[ConnectorKey],
    pressed: bool,
) -> Ends:
    """Return the machine without power, all switches of loads open and all contacts `pressed`.

    What hangs on a plug that is pulled ends on a node of the plug's contact.
    """
    known = {key: band for fit in fits for key, band in in_room(network, fit, room_c).items()}
    contacts = set(_contacts(fits))
    made = [
        _pulled(evolve(it, ohm=known.get(key) or _off(it), emf_v=0.0, kind="series"), pulled)
        for key, it in network.elements.items()
        if it.closed ^ (pressed and key in contacts)
    ]
    low, nominal, high = (
        {it.key: evolve(it, ohm=exactly(getattr(it.ohm, end)), closed=True) for it in made}
        for end in ("low", "nominal", "high")
    )
    one, likely, two = (
        Circuit(evolve(network, elements=elements)).solve() for elements in (low, nominal, high)
    )
    return one, likely, two


def in_room(network: Network, fit: Fit, room_c: float) -> Mapping[Key, Band]:
    """Return the elements of a fitted part whose resistance is known better than in use."""
    part, own = fit.part, network.elements.get(("part", fit.name))
    if part.kind == "motor" and part.phase_ohm:
        coil = _either_way(part.phase_ohm, COIL_PCT)
        return {("part", fit.name, 0): coil, ("part", fit.name, 1): coil}
    if own is None:
        return {}
    if part.kind == "heater":
        return {own.key: _either_way(own.ohm.nominal, part.tolerance_pct or HEATER_PCT)}
    if own.key in _contacts((fit,)):
        return {own.key: Band(0.0, own.ohm.nominal, CLOSED_OHM)}
    ohm = sensor_ohm(part, room_c) if part.kind == "sensor" else None
    return {own.key: ohm} if ohm else {}


def sensor_ohm(part: Part, room_c: float) -> Band | None:
    """Return the resistance of a sensor in a room, None where it has no curve or is out of it."""
    found = fitted(part)
    if found is None or found.curve is None:
        return None
    try:
        band = part_band(part, found, found.curve, room_c, 0.0)
        off = ROOM_K + (band.worst_k if band else 0.0)
        low, high = sorted(found.curve.ohm(room_c + k) for k in (-off, off))
        return Band(low, found.curve.ohm(room_c), high)
    except ValueError:
        return None


def plug_node(board: str, connector: str, pin: int) -> Node:
    """Return the node of a contact of a pulled plug."""
    return Node("plug", board, str(pin), connector)


def _contacts(fits: tuple[Fit, ...]) -> Iterator[Key]:
    for fit in fits:
        if fit.part.signal.output == "switch" and "supply" not in fit.part.terminals:
            yield "part", fit.name


def _either_way(ohm: float, pct: float) -> Band:
    return Band(ohm * (1 - pct / 100), ohm, ohm * (1 + pct / 100))


def _off(element: Element) -> Band:
    match element.kind:
        case "supply" | "converter" | "draws":
            return Band(RAILS_OHM, _NOTHING_OHM, _NOTHING_OHM)
        case "diode":
            return Band(_JUNCTION_OHM, _NOTHING_OHM, _NOTHING_OHM)
    electronic = element.key[0] == "part" and (element.rated_a or element.ohm.assumed)
    if electronic or element.kind == "input":
        return Band(max(element.ohm.low, RAILS_OHM), _NOTHING_OHM, _NOTHING_OHM)
    return element.ohm


def _pulled(element: Element, pulled: Collection[ConnectorKey]) -> Element:
    """Return a wire with its ends on the contacts of the plugs that are pulled."""
    for number, carrier in enumerate(element.carriers):
        if carrier.kind == "contact" and (str(carrier.key[1]), str(carrier.key[2])) in pulled:
            ohm, less = element.ohm, CONTACT
            ohm = Band(ohm.low - less.low, ohm.nominal - less.nominal, ohm.high - less.high)
            node = plug_node(str(carrier.key[1]), str(carrier.key[2]), int(str(carrier.key[3])))
            ends = (element.one, node) if number else (node, element.two)
            element = evolve(element, ohm=ohm, one=ends[0], two=ends[1])
    return element

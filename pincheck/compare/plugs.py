"""Whether the plug of a part goes into the socket of another revision."""

from collections.abc import Iterator

from pincheck.compare.difference import Difference, differing
from pincheck.model.path import Wired
from pincheck.model.wiring import Assembly, Connector
from pincheck.wiring.copper import Copper


def plug_differences(
    before: tuple[Assembly, Wired], after: tuple[Assembly, Wired]
) -> Iterator[Difference]:
    """Yield what keeps a part's plug from going over as it is; nothing where it does."""
    ends = [end for end in (_socket(*before), _socket(*after)) if end]
    if len(ends) == 2:
        yield from connector_differences(ends[0][0], ends[1][0])
        yield from differing((("pin order", ends[0][1], ends[1][1]),))


def connector_differences(before: Connector, after: Connector) -> Iterator[Difference]:
    """Yield what differs between two connectors as mechanical parts."""
    yield from differing(
        (
            ("pins", str(len(before.pins)), str(len(after.pins))),
            ("rows", str(before.rows), str(after.rows)),
            ("pitch", _pitch(before), _pitch(after)),
            ("keying", _keying(before), _keying(after)),
        )
    )


def _pitch(connector: Connector) -> str:
    return f"{connector.pitch_mm:g} mm" if connector.pitch_mm else ""


def _keying(connector: Connector) -> str:
    return {True: "keyed", False: "not keyed", None: ""}[connector.keyed]


def _socket(assembly: Assembly, wired: Wired) -> tuple[Connector, str] | None:
    if wired.fit.connector is None:
        return None
    board, name = wired.fit.connector
    connector, copper = assembly.boards[board].connectors[name], Copper(assembly)
    pins = range(1, len(connector.pins) + 1)
    return connector, " ".join(_kind(copper, wired.fit.connector, pin) for pin in pins)


def _kind(copper: Copper, at: tuple[str, str], pin: int) -> str:
    key = copper.at_pin(at, pin)
    if key is None:
        return "open"
    volts = copper.volts(key)
    if volts is None:
        return "line"
    return f"{volts:g}V" if volts else "ground"

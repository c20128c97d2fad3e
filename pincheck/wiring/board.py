"""A board file to a board, with every mistake in it."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, cast

from attrs import evolve

from pincheck.model import limits
from pincheck.model.nearest import nearest
from pincheck.model.printable import printable
from pincheck.model.problem import UnreadableError
from pincheck.model.setting import STYLES
from pincheck.model.wiring import Board, Connector, Driver, Net, Track
from pincheck.toml.document import parse
from pincheck.toml.scan import KeyPath
from pincheck.toml.table import Tables, show
from pincheck.wiring import folder, schema
from pincheck.wiring.chip_pins import DRIVER_PINS, check_chip_pins

_GROUNDS = frozenset({"GND", "AGND", "PGND", "DGND", "0V"})
INPUTS = frozenset({"VIN", "VMOT"})
"""Nets that carry the supply of their board."""

_VOLTS = re.compile(r"\+?(\d{1,3})(?:V(\d{1,2})|(\.\d{1,2})?V)", re.ASCII)
_COIL = re.compile(r"(.*?)[_-]?(?:[12][AB]|O?[AB][12+-])", re.ASCII | re.IGNORECASE)
"""Names that drivers' makers and boards give to both ends of both coils: common practice."""

_COIL_OF = re.compile(r".*?(?:([12])[AB]|O?([AB])[12+-])", re.ASCII | re.IGNORECASE)
"""Which coil such a name is an end of."""


def load_board(path: Path) -> Board:
    """Return the board that a TOML file describes.

    Raises:
        UnreadableError: with every mistake in the file.
    """
    tables = Tables(parse(folder.read(path, path.name)))
    board = read_board(tables)
    if tables.problems:
        raise UnreadableError(tuple(tables.problems))
    return board


def read_board(tables: Tables) -> Board:
    """Return what can be read of a board; mistakes are noted in `tables`."""
    top = tables.read((), schema.BOARD_FILE)
    about: dict[str, Any] = {}
    if "board" in top:
        about = tables.read(("board",), schema.BOARD)
    elif "board" not in tables.document.values and not tables.document.broken:
        tables.wrong((), "the table [board] is missing", "[board] with a name")
    copper = about.pop("copper", {})
    about["identifiers"] = tuple(about.get("identifiers", ()))
    connectors = {name: _connector(tables, name) for name in tables.children(("connectors",))}
    drivers = {name: _driver(tables, name) for name in tables.children(("drivers",))}
    board = Board(
        **{"name": "", **about},
        copper=_track(copper, {}) if copper else None,
        connectors=connectors,
        drivers=drivers,
        pin_names={
            style: tables.texts(("pin_names", style), f"chip pin in the {style} style")
            for style in STYLES
        },
        stock_pins=tables.texts(("stock_pins",), "pin as the pins header writes it"),
        source=tables.document.source,
        at=tables.document.key(("board",)),
    )
    if "pin_names" in top:
        tables.read(("pin_names",), schema.pin_names())
    board = evolve(board, nets=dict(_nets(tables, board, copper)))
    board = evolve(board, drivers={it.name: _with_coils(board, it) for it in drivers.values()})
    _check_nets(tables, board)
    check_chip_pins(tables, board)
    written = tables.document.values.get("board")
    if isinstance(written, dict) and "chip" not in {*written, *tables.document.broken}:
        _check_no_chip(tables)
    return board


def _connector(tables: Tables, name: str) -> Connector:
    path = ("connectors", name)
    read = tables.read(path, schema.CONNECTOR)
    pins = tuple(read.pop("pins", ()))
    written = tables.document.get(path)
    if isinstance(written, dict) and "pins" in written and not pins:
        tables.wrong((*path, "pins"), f"connector {name} has no pins", "a net for each pin")
    if len(pins) > limits.WIRING_PINS:
        tables.wrong(
            (*path, "pins"), f"connector of {len(pins)} pins", f"at most {limits.WIRING_PINS}"
        )
        pins = pins[: limits.WIRING_PINS]
    plugged = read.pop("plugged", [])
    rows = read.get("rows", 1)
    if len(pins) % rows:
        message = f"{len(pins)} pins do not fill {rows} rows"
        tables.wrong((*path, "rows"), message, 'equal rows, with "" for a pin not connected')
    return Connector(
        name,
        pins,
        **{**read, "jumper_v": tuple(read.get("jumper_v", ()))},
        plugged=tuple(_plugged(tables, (*path, "plugged"), plugged, pins)),
        at=tables.document.key(path),
        pin_spans=tuple(tables.document.value((*path, "pins", i)) for i in range(len(pins))),
    )


def _plugged(tables: Tables, path: KeyPath, written: Any, pins: tuple[str, ...]) -> Iterator[int]:
    """Yield the positions that are plugged: numbers of pins that no net stands on."""
    if not isinstance(written, list):
        tables.wrong(path, f"{show(written)} is no list of pins", "a list such as [4]")
        return
    for number, pin in enumerate(written):
        if not isinstance(pin, int) or isinstance(pin, bool) or not 1 <= pin <= len(pins):
            expected = f"a pin from 1 to {len(pins)}"
            tables.wrong((*path, number), f"there is no pin {show(pin)}", expected)
        elif pins[pin - 1]:
            message = f"pin {pin} carries net {show(pins[pin - 1])} and cannot be plugged"
            tables.wrong((*path, number), message, 'a position that is "" in pins')
        else:
            yield pin


def _driver(tables: Tables, name: str) -> Driver:
    path = ("drivers", name)
    read = tables.read(path, schema.DRIVER)
    coils = tuple(read.pop("coils", ()))
    if coils and (len(coils) != 4 or not all(coils)):
        expected = "four nets: both ends of one coil, then both of the other"
        tables.wrong((*path, "coils"), f"{len(coils)} ends of two coils", expected)
    return Driver(name, **read, coils=coils, at=tables.document.key(path))


def _coil_drivers(tables: Tables, drivers: Iterable[Driver]) -> dict[str, str]:
    """Return the driver of each net that one lists as an end of its motor's coils."""
    found: dict[str, str] = {}
    for driver in drivers:
        for number, net in enumerate(driver.coils):
            if net in found:
                path = ("drivers", driver.name, "coils", number)
                tables.wrong(path, f"net {show(net)} is a coil's end already", "each net once")
            found.setdefault(net, driver.name)
    return found


def _with_coils(board: Board, driver: Driver) -> Driver:
    """Return a driver with the coils that the names of its nets tell, where it lists none."""
    coils: dict[str, list[str]] = {}
    for name, net in board.nets.items():
        form = _COIL_OF.fullmatch(name) if net.driver == driver.name else None
        if form and not driver.coils:
            coils.setdefault((form[1] or form[2]).upper(), []).append(name)
    if len(coils) == 2 and all(len(ends) == 2 for ends in coils.values()):
        return evolve(driver, coils=tuple(end for ends in coils.values() for end in ends))
    return driver


def _track(own: dict[str, Any], board: dict[str, Any]) -> Track:
    return Track(**{"width_mm": 0.0, **board, **own})


def _nets(tables: Tables, board: Board, copper: dict[str, Any]) -> Iterator[tuple[str, Net]]:
    feeds = bool(board.chip) or board.supply_v is not None
    coils = _coil_drivers(tables, board.drivers.values())
    listed = dict.fromkeys(tables.children(("nets",)))
    for name in listed:
        path = ("nets", name)
        read = tables.read(path, schema.NET)
        if read.setdefault("driver", coils.get(name, "")) != coils.get(name, read["driver"]):
            message = f"{show(name)} is a coil's end of driver {show(coils[name])}"
            tables.wrong((*path, "driver"), message, "one driver for each net")
        if "track" in read:
            own = tables.read((*path, "track"), schema.TRACK)
            read["track"] = _track(own, copper) if "width_mm" in own else None
        explicit = "supply_v" in read
        read.setdefault("supply_v", volts_by_name(name, board.supply_v))
        fed = read["supply_v"] is not None and (feeds or explicit)
        yield name, Net(name, **read, fed_here=fed, at=tables.document.key(path))
    for connector in board.connectors.values():
        for name, span in zip(connector.pins, connector.pin_spans, strict=True):
            if name and name not in listed:
                listed[name] = None
                volts = volts_by_name(name, board.supply_v)
                driver = coils.get(name, "")
                fed = volts is not None and feeds
                yield name, Net(name, supply_v=volts, driver=driver, fed_here=fed, at=span)


def volts_by_name(net: str, board_supply_v: float | None) -> float | None:
    """Return the volts that a net's name promises, 0 for ground, None where it is no rail:
    common practice.

    `24V`, `3V3` and `3.3V` say it themselves; `VIN` and `VMOT` carry the board's supply.
    """
    name = net.upper()
    if name in _GROUNDS:
        return 0.0
    if name in INPUTS:
        return board_supply_v
    form = _VOLTS.fullmatch(name)
    if form is None:
        return None
    return float(f"{form[1]}.{form[2]}" if form[2] else f"{form[1]}{form[3] or ''}")


def _check_nets(tables: Tables, board: Board) -> None:
    pins = Counter(pin for connector in board.connectors.values() for pin in connector.pins)
    drives = {net.driven_by for net in board.nets.values()}
    # A net that is named once only is nearly always a slip of one letter.
    listed = dict.fromkeys(tables.children(("nets",)))
    for name in listed:
        if not pins[name] and name not in drives:
            near = nearest(name, (pin for pin in pins if pin))
            message = f"net {show(name)} stands on no connector and drives no net"
            tables.wrong(("nets", name), message, "a net of a connector's pin", near, on_key=True)
        _check_net(tables, board, board.nets[name])
    for driver in board.drivers.values():
        for number, name in enumerate(driver.coils):
            if name and name not in board.nets:
                near = nearest(name, (pin for pin in pins if pin))
                message = f"net {show(name)} stands on no connector"
                path = ("drivers", driver.name, "coils", number)
                tables.wrong(path, message, "a net of a connector's pin", near)
    if tables.document.broken:
        return  # a line that could not be read may have named them
    named = {*listed, *drives, *(net for driver in board.drivers.values() for net in driver.coils)}
    for connector in board.connectors.values():
        lone = {
            number: name
            for number, name in enumerate(connector.pins)
            if name and pins[name] == 1 and name not in named and board.nets[name].supply_v is None
        }
        for number in _loose_coils(tables, board, connector, lone):
            del lone[number]
        for number, name in lone.items():
            near = nearest(name, (other for other in board.nets if other not in ("", name)))
            tables.wrong(
                ("connectors", connector.name, "pins", number),
                f"net {show(name)} is named nowhere else",
                f'a second pin, a [nets.{name}] table, or "" for a pin not connected',
                near,
            )


def _loose_coils(
    tables: Tables, board: Board, connector: Connector, lone: dict[int, str]
) -> list[int]:
    """Note a motor's nets that hang on no driver, all as one mistake; return their pins."""
    found = {number: form for number, name in lone.items() if (form := _COIL.fullmatch(name))}
    if not board.chip or not found:
        return []
    first = next(iter(found))
    motor = found[first][1]
    hung = (net for net in board.nets.values() if net.driver in board.drivers)
    beside = (net for net in hung if (form := _COIL.fullmatch(net.name)) and form[1] == motor)
    driver = next((net.driver for net in beside), "")
    if len(found) < 2 and not driver:
        return []
    names = ", ".join(f'"{printable(lone[number])}"' for number in found)
    named = nearest(motor or connector.name, board.drivers) or motor or connector.name
    expected = f"coils = [{names}] in [drivers.{printable(named)}]"
    if driver and board.drivers[driver].coils:
        return list(found)  # that list is noted as short already
    if driver:
        hang = (f'driver = "{printable(driver)}" in [nets.{printable(lone[n])}]' for n in found)
        expected = " and ".join(hang)
    it = "looks like the end" if len(found) == 1 else "look like the ends"
    message = f"no driver for {names}, which {it} of a motor's coils"
    path = ("connectors", connector.name, "pins", first)
    tables.wrong(path, message, expected)
    return list(found)


def _check_net(tables: Tables, board: Board, net: Net) -> None:
    path = ("nets", net.name)
    if net.driven_by and net.driven_by not in board.nets:
        near = nearest(net.driven_by, (name for name in board.nets if name != net.name))
        message = f"there is no net {show(net.driven_by)} on this board"
        tables.wrong((*path, "driven_by"), message, "a net of this board", near)
    if net.driver and net.driver not in board.drivers:
        near = nearest(net.driver, board.drivers)
        message = f"there is no driver {show(net.driver)} on this board"
        tables.wrong((*path, "driver"), message, "a table under [drivers]", near)
    if net.chip_pin and net.driven_by:
        message = f"net {show(net.name)} has both chip_pin and driven_by"
        tables.wrong((*path, "driven_by"), message, "one of them: the next step to the chip")
    _check_joined(tables, board, net)
    chain = _chain(board, net)
    if net.name in chain or len(chain) >= limits.WIRING_CHAIN:
        what = (
            "drives itself"
            if net.name in chain
            else f"hangs on {limits.WIRING_CHAIN} nets in a row"
        )
        message = f"net {show(net.name)} {what} through driven_by"
        tables.wrong((*path, "driven_by"), message, "a chain that ends at a chip pin or cable")
    reached = net.chip_pin or net.driven_by
    for key in ("switch", "divider"):
        if getattr(net, key) is not None and not reached:
            tables.wrong(
                (*path, key), f"nothing drives this {key}", "chip_pin or driven_by", on_key=True
            )
    high = net.switch is not None and net.switch.side == "high"
    if net.supply_v is not None and (reached or net.driver) and not high:
        message = f"rail {show(net.name)} hangs on a chip pin or driver"
        expected = "a rail without chip_pin, driven_by and driver, or a high-side switch"
        tables.wrong(path, message, expected, on_key=True)


def _check_joined(tables: Tables, board: Board, net: Net) -> None:
    path = ("nets", net.name, "joined_to")
    if net.joined_to is not None and not net.is_ground:
        message = f"{show(net.name)} is no ground"
        tables.wrong(path, message, "a ground, of supply_v = 0", on_key=True)
    elif net.joined_to:
        others = [n for n, other in board.nets.items() if other.is_ground and n != net.name]
        met = board.nets.get(net.joined_to)
        if met is None or net.joined_to not in others:
            message = f"{show(net.joined_to)} is no other ground of this board"
            expected = "one of " + ", ".join(others) if others else "a second ground"
            tables.wrong(path, message, expected, nearest(net.joined_to, others))
        elif met.joined_to:
            message = f"{show(met.name)} meets {show(met.joined_to)} itself"
            tables.wrong(path, message, f'joined_to = "{printable(met.joined_to)}", say')


def _chain(board: Board, net: Net) -> list[str]:
    """Return the nets that drive a net, one after the other, as far as the bound."""
    chain = [net.name]
    while len(chain) <= limits.WIRING_CHAIN and chain[-1] in board.nets:
        if not board.nets[chain[-1]].driven_by:
            break
        chain.append(board.nets[chain[-1]].driven_by)
    return chain[1:]


def _check_no_chip(tables: Tables) -> None:
    values = cast(dict[str, Any], tables.document.values)
    expected = "a chip under [board], or no chip pins"
    for group, keys in (("nets", ("chip_pin",)), ("drivers", tuple(DRIVER_PINS))):
        for name in tables.children((group,)):
            for key in keys:
                if isinstance(values[group][name], dict) and key in values[group][name]:
                    message = f"{key} on a board without a chip"
                    tables.wrong((group, name, key), message, expected, on_key=True)
    for group in ("pin_names", "stock_pins"):
        if values.get(group):
            message = f"{group} on a board without a chip"
            tables.wrong((group,), message, expected, on_key=True)

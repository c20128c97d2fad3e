"""Chip pins that a board names: the chip must have each, and each serves one thing."""

from collections.abc import Iterator, Mapping

from pincheck.chips import Chip, canonical, canonical_by_syntax, canonical_pin, chip
from pincheck.model.nearest import nearest
from pincheck.model.wiring import Board
from pincheck.toml.scan import KeyPath
from pincheck.toml.table import Tables, show

DRIVER_PINS: Mapping[str, str] = {
    "step_pin": "steps",
    "dir_pin": "direction",
    "enable_pin": "enable",
    "uart_pin": "serial line",
    "cs_pin": "chip select",
}


def check_chip_pins(tables: Tables, board: Board) -> None:
    """Note every pin that the board's chip does not have, and every one that serves two things.

    Drivers may share a pin for one purpose, as two motors of one axis do. What is no spelling of a
    chip's pin and near none, such as an output of an expander, nobody can look up.
    """
    known = chip(board.chip) if board.chip else None
    served: dict[str, str] = {}
    for path, pin, purpose in _used(board):
        pin = canonical(board.chip, pin)
        holder = served.setdefault(pin, purpose)
        if holder != purpose:
            expected = "one net for each chip pin"
            if path[0] == "nets" and holder.startswith("net "):
                expected += f', then driven_by = "{holder.removeprefix("net ")}"'
            tables.wrong(path, f"{pin} serves {holder} already", expected)
    for path, pin in _named(board):
        if known and (near := _missing(known, pin)) is not None:
            expected = "" if near else "a pin of this chip"
            tables.wrong(path, f"{known.name} has no pin {show(pin)}", expected, near)


def _used(board: Board) -> Iterator[tuple[KeyPath, str, str]]:
    """Yield the place, the pin and the purpose of all that the board hangs on chip pins."""
    for net in board.nets.values():
        if net.chip_pin:
            yield ("nets", net.name, "chip_pin"), net.chip_pin, f"net {net.name}"
    for driver in board.drivers.values():
        for key, purpose in DRIVER_PINS.items():
            if pin := getattr(driver, key):
                yield ("drivers", driver.name, key), pin, f"the {purpose} of a driver"


def _named(board: Board) -> Iterator[tuple[KeyPath, str]]:
    yield from ((path, pin) for path, pin, _ in _used(board))
    for style, names in board.pin_names.items():
        for name, pin in names.items():
            if canonical_by_syntax(pin):
                yield ("pin_names", style, name), pin
    for key, pin in board.stock_pins.items():
        if canonical_by_syntax(pin):
            yield ("stock_pins", key), pin


def _missing(known: Chip, pin: str) -> str | None:
    """Return the nearest pin that the chip has, "" where none is near, None where it has `pin`."""
    if canonical_pin(known, pin) in known.pins:
        return None
    near = nearest(pin, known.pins)
    return near if near or canonical_by_syntax(pin) else None

"""Cables of an assembly, worked out pin by pin."""

from collections.abc import Iterator
from typing import Any

from attrs import evolve

from pincheck.model.nearest import nearest
from pincheck.model.wiring import Cable, Wire
from pincheck.toml.scan import KeyPath
from pincheck.toml.table import Tables, show
from pincheck.wiring import schema
from pincheck.wiring.sockets import Sockets, count_pins, is_pin


def read_cables(tables: Tables, sockets: Sockets) -> Iterator[Cable]:
    """Yield every cable, its pairs worked out."""
    listed = tables.document.values.get("cables", [])
    if not isinstance(listed, list):
        tables.wrong(("cables",), "cables is no list", "[[cables]], one table each")
        return
    for number in range(len(listed)):
        path: KeyPath = ("cables", number)
        read = tables.read(path, schema.CABLE)
        sockets.mark(path, read)
        ends = [sockets.find((*path, key), read.get(key)) for key in ("from", "to")]
        lengths = [count_pins(end[2]) if end else None for end in ends]
        pairs = tuple(_pairs(sockets, (*path, "wiring"), read.get("wiring", "straight"), lengths))
        name = f"cable {number + 1}"
        first, second = ends
        if first is None or second is None:
            continue
        if first[:2] == second[:2]:
            message = "the cable begins and ends at one connector"
            tables.wrong((*path, "to"), message, "another connector")
            continue
        for end, key, side in ((first, "from", 0), (second, "to", 1)):
            used = [pair[side] for pair in pairs]
            sockets.take((*path, key), end[:2], used, name)
        wiring = read.get("wiring", "straight")
        yield Cable(
            first[:2],
            second[:2],
            pairs,
            wiring=wiring if isinstance(wiring, str) else "pin by pin",
            wire=named(read.get("wire"), name),
            at=tables.document.key(path),
        )


def named(wire: Wire | None, of: str) -> Wire | None:
    """Return a wire with the name of the cable or part that it belongs to."""
    return wire and evolve(wire, of=of)


def _pairs(
    sockets: Sockets, path: KeyPath, wiring: Any, lengths: list[int | None]
) -> Iterator[tuple[int, int]]:
    tables = sockets.tables
    first, second = lengths
    if wiring in ("straight", "mirrored"):
        if first is None or second is None:
            return
        if first != second:
            message = f"a {wiring} cable joins {first} pins with {second}"
            expected = "the same number of pins at both ends, or a list of pin pairs"
            tables.wrong(path, message, expected)
        for pin in range(1, min(first, second) + 1):
            yield pin, pin if wiring == "straight" else second + 1 - pin
        return
    if not isinstance(wiring, list):
        near = nearest(wiring, ("straight", "mirrored")) if isinstance(wiring, str) else ""
        expected = schema.CABLE["wiring"].words
        tables.wrong(path, f"{show(wiring)} is no wiring", expected, near)
        return
    used: tuple[set[int], set[int]] = (set(), set())
    for number, pair in enumerate(wiring):
        if not (isinstance(pair, list) and len(pair) == 2 and all(map(is_pin, pair))):
            message = f"{show(pair)} is no pair of pins"
            tables.wrong((*path, number), message, "two whole numbers from 1 on")
            continue
        good = [
            sockets.pin((*path, number, side), pair[side], lengths[side], used[side])
            for side in (0, 1)
        ]
        if all(good):
            yield pair[0], pair[1]

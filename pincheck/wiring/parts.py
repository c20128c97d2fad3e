"""The catalogue of parts: the built-in one and files of the user's own."""

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from pincheck import resources
from pincheck.model.nearest import nearest
from pincheck.model.problem import UnreadableError
from pincheck.model.source import Source
from pincheck.model.wiring import Part, PartKind, Signal
from pincheck.sensors import UnknownSensorError, data_sheet_curve, sensor
from pincheck.toml.document import Document, parse
from pincheck.toml.scan import KeyPath
from pincheck.toml.table import Tables, show
from pincheck.wiring import folder, schema

DEFAULT_TERMINALS: Mapping[PartKind, tuple[str, ...]] = {
    "heater": ("any", "any"),
    "sensor": ("any", "any"),
    "fan": ("supply", "switched"),
    "probe": ("supply", "ground", "signal"),
    "servo": ("ground", "supply", "control"),
    "motor": ("coil", "coil", "coil", "coil"),
    "endstop": ("any", "any"),
    "output": ("any", "any"),
    "block": (),
    "plate": (),
}

_PAIRS = (("supply_min_v", "supply_max_v"), ("pwm_min_hz", "pwm_max_hz"))


def read_parts(tables: Tables) -> dict[str, Part]:
    """Return every part of a parts file by its id; mistakes are noted in `tables`.

    A part whose kind is not known is left out.
    """
    read = {id_: _part(tables, id_) for id_ in tables.children(())}
    return {id_: part for id_, part in read.items() if part}


@lru_cache(maxsize=1)
def built_in() -> tuple[Mapping[str, Part], Source]:
    """Return the parts that every assembly can use, and the file they stand in."""
    path = resources.folder("configs") / "parts.toml"
    source = folder.read(path, "built-in/parts.toml")
    # The tests check this file, so nothing in it needs a place.
    return read_parts(Tables(Document(source, resources.table(path), {}))), source


def load_parts(path: Path) -> dict[str, Part]:
    """Return the parts of a user's own file by their ids.

    Raises:
        UnreadableError: with every mistake found.
    """
    tables = Tables(parse(folder.read(path, path.name)))
    found = read_parts(tables)
    if tables.problems:
        raise UnreadableError(tuple(tables.problems))
    return found


def _part(tables: Tables, id_: str) -> Part | None:
    path = (id_,)
    read: dict[str, Any] = tables.read(path, schema.PART)
    for low, high in _PAIRS:
        if read.get(low, 0) > read.get(high, float("inf")):
            message = f"{low} = {read[low]:g} is above {high} = {read[high]:g}"
            tables.wrong((*path, low), message, f"{low} up to {high}")
    terminals = read.pop("terminals", None)
    for number, terminal in enumerate(terminals or ()):
        if terminal not in schema.TERMINALS:
            expected = (
                "one of " + ", ".join(filter(None, schema.TERMINALS)) + ', or "" if left open'
            )
            near = nearest(terminal, schema.TERMINALS)
            message = f"no terminal wants {show(terminal)}"
            tables.wrong((*path, "terminals", number), message, expected, near)
    signal = Signal(**{key: read.pop(key) for key in schema.SIGNAL if key in read})
    if "kind" not in read:
        return None
    default = DEFAULT_TERMINALS[read["kind"]]
    chosen = default if terminals is None else tuple(terminals)
    _check_tachometer(tables, path, read, chosen)
    try:
        sensor(read.get("sensor", "none"))
    except UnknownSensorError as error:
        expected = 'a sensor of the catalogue, such as "ntc-100k-b3950" or "pt1000"'
        message = f"no sensor {show(read['sensor'])} in the catalogue"
        tables.wrong((*path, "sensor"), message, expected, error.nearest)
    if "curve" in read:
        read["curve"] = _curve(tables, path, read["curve"], "sensor" in read)
    return Part(id_, terminals=chosen, signal=signal, **read, at=tables.document.key(path))


def _curve(
    tables: Tables, path: KeyPath, value: Any, has_class: bool
) -> tuple[tuple[float, float], ...]:
    """Return the points of a sensor's own curve, none where they are those of no thermistor."""
    expected = "[[C, ohm], ...]: three points or more, the resistance falling"
    try:
        if not has_class:
            raise ValueError('of no sensor: name its class beside it, sensor = "..."')
        points = tuple((float(temp_c), float(ohm)) for temp_c, ohm in value)
        data_sheet_curve(points)
    except (TypeError, ValueError) as error:
        message = str(error) if isinstance(error, ValueError) else show(value)
        tables.wrong((*path, "curve"), f"curve {message}", expected)
        return ()
    return points


def _check_tachometer(
    tables: Tables, path: KeyPath, read: Mapping[str, Any], terminals: tuple[str, ...]
) -> None:
    """Note a tachometer of what is no fan, and figures of one without a terminal."""
    if "tachometer" in terminals and read["kind"] != "fan":
        at = (*path, "terminals", terminals.index("tachometer"))
        tables.wrong(at, f"a {read['kind']} has no tachometer", 'kind = "fan", or another terminal')
    if "tachometer" in read and "tachometer" not in terminals:
        message = f"no terminal of {show(str(path[0]))} is its tachometer"
        expected = 'terminals = ["ground", "supply", "tachometer", "control"], say'
        tables.wrong((*path, "tachometer"), message, expected, on_key=True)

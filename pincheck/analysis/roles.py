"""Roles in plain words, and what happens to a part when its pin is elsewhere."""

from collections.abc import Container

from pincheck.model.finding import Moment
from pincheck.model.role import sibling, split

_FUNCTIONS = {
    ("hotend", "heater"): "hot-end heater",
    ("hotend", "sensor"): "hot-end sensor",
    ("hotend", "fan"): "hot-end fan",
    ("hotend", "block"): "heater block",
    ("part", "fan"): "part fan",
    ("bed", "plate"): "bed surface",
    ("aux", "heater"): "extra heater",
    ("aux", "sensor"): "extra sensor",
    ("aux", "fan"): "extra fan",
    ("aux", "output"): "extra output",
    ("filament", "sensor"): "filament sensor",
    ("controller", "fan"): "board fan",
}
_ORDINALS = ("", "second ", "third ", "fourth ", "fifth ", "sixth ", "seventh ", "eighth ")

DRIVEN = frozenset(("heater", "fan", "servo", "output", "motor"))
"""Functions whose pin is an output of the chip; every other one is an input."""
WITHOUT_PIN = frozenset(("block", "plate"))
"""Functions of parts that no wire reaches."""
ANALOG = frozenset(("hotend.sensor", "bed.sensor", "chamber.sensor", "probe.sensor"))
"""Roles (without numbers) whose pin must be a converter's input."""

STOPS_THE_NOZZLE = frozenset(("probe.signal", "probe.servo"))
"""Roles (without numbers) without which homing drives the nozzle into the bed."""


def stops_the_nozzle(role: str, fitted: Container[str]) -> bool:
    """Return whether nothing but this role ends the way of the nozzle to the bed."""
    return family(role) in STOPS_THE_NOZZLE and "z.endstop" not in fitted


def name(role: str) -> str:
    """Return a role in plain words: `part1.fan` is the "second part fan"."""
    group, number, function = split(role)
    if function == "tachometer":
        return f"{name(sibling(role, 'fan'))}'s tachometer"
    plain = _FUNCTIONS.get((group, function), f"{group} {function}")
    nth = _ORDINALS[number] if number < len(_ORDINALS) else f"{number + 1}th "
    return nth + plain


def one(role: str) -> str:
    """Return a role in plain words with its article: "a part fan", "an extruder motor"."""
    plain = name(role)
    return f"{'an' if plain[0] in 'aeiox' else 'a'} {plain}"


def heated(role: str) -> str:
    """Return what a heater heats, in plain words."""
    return {"hotend": "block", "bed": "plate"}.get(split(role)[0], "heated part")


def verb(role: str) -> str:
    """Return what the firmware does to the role's pin."""
    return "drives" if function(role) in DRIVEN else "reads"


def family(role: str) -> str:
    """Return the role without its number."""
    group, _, function = split(role)
    return f"{group}.{function}"


def function(role: str) -> str:
    """Return the function of a role alone."""
    return split(role)[2]


def listed(words: list[str]) -> str:
    """Return "a", "a and b" or "a, b and c"."""
    return " and ".join([*([", ".join(words[:-1])] if words[:-1] else []), *words[-1:]])


_NEEDED = {
    "hotend": Moment.HEATING,
    "bed": Moment.HEATING,
    "chamber": Moment.HEATING,
    "board": Moment.HEATING,
    "probe": Moment.HOMING,
    "x": Moment.HOMING,
    "y": Moment.HOMING,
    "z": Moment.HOMING,
    "controller": Moment.HOMING,
}


def strikes(role: str) -> Moment:
    """Return the first moment at which a part is needed, and its fault shows."""
    group = split(role)[0]
    heats = group == "aux" and function(role) in ("heater", "sensor")
    return Moment.HEATING if heats else _NEEDED.get(group, Moment.PRINTING)


_LEFT_ALONE = {
    "hotend.heater": "stays cold",
    "hotend.sensor": "is not read",
    "hotend.fan": "never turns (heat creeps up, filament softens in the cold end and jams)",
    "part.fan": "never turns (overhangs and bridges sag)",
    "bed.heater": "stays cold",
    "bed.sensor": "is not read",
    "probe.signal": "is never seen (homing drives the nozzle into the bed)",
    "probe.servo": "never moves (the probe stays up, homing drives the nozzle into the bed)",
    "extruder.motor": "does not turn (nothing is extruded)",
    "filament.sensor": "is never seen (a print goes on without filament)",
}
_LEFT_ALONE_FUNCTION = {
    "heater": "stays cold",
    "sensor": "is not read",
    "fan": "never turns",
    "endstop": "is never seen (the axis drives into its end)",
    "motor": "does not turn",
    "output": "is never switched",
    "tachometer": "is not read (nobody learns that the fan stands still)",
}


def left_alone(role: str) -> str:
    """Return what becomes of a part that the firmware does not drive or read."""
    return _LEFT_ALONE.get(family(role)) or _LEFT_ALONE_FUNCTION.get(function(role), "is not used")


def misled(role: str, reached: str) -> str:
    """Return what happens when the firmware takes the pin of `reached` for the one of `role`."""
    mine, other = name(role), name(reached)
    match function(role) in DRIVEN, function(reached) in DRIVEN:
        case True, True if function(reached) == "heater":
            if function(role) == "heater":
                return f"the {other} heats at the {mine}'s command, watched by the wrong sensor"
            return f"the {other} gets power whenever the {mine} is on, and no sensor watches it"
        case True, True if family(role) == "part.fan" and family(reached) == "hotend.fan":
            return f"the {other} follows the part fan command and stands still on first layers"
        case True, True if family(role) == "hotend.fan" and family(reached) == "part.fan":
            return f"the {other} blows whenever the hot end is warm (first layers included)"
        case True, True:
            return f"the {other} follows the {mine}'s command"
        case True, False:
            return f"the firmware drives the {other}'s line as an output"
        case False, True:
            return f"the firmware reads the line that drives the {other}"
    if function(role) == function(reached) == "sensor":
        return f"the firmware takes the {other}'s reading for the {mine}'s"
    return f"the firmware takes the {other} for the {mine}"

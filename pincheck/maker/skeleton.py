"""A mainboard that nobody has described, as far as a configuration tells: pins, no copper."""

from collections.abc import Iterator
from typing import Any

import tomli_w

from pincheck.analysis import roles
from pincheck.claims import Vocabulary
from pincheck.claims import claims as claims_of
from pincheck.intake.machines import Machine, read
from pincheck.maker.guess import guess
from pincheck.model.claim import Claims, PinValue
from pincheck.model.printable import printable
from pincheck.model.role import order, sibling
from pincheck.model.source import Source
from pincheck.model.wiring import Assembly, Board, Part
from pincheck.wiring.parts import built_in

_HEAD = """\
# A SKELETON, made from a configuration: the chip pins that it names, each with a socket of its
# own. Which pins really share a socket, what stands between chip and socket (here: what boards
# usually have) and what it may carry, only the board or its drawing can tell. Correct it first.
"""
_SUPPLY_V = 24.0
_RAILS = {"supply": f"{_SUPPLY_V:g}V", "ground": "GND", "": ""}


def skeleton(machine: Machine, chip: str = "", words: Vocabulary | None = None) -> Source:
    """Return the file of a mainboard with each pin that a configuration claims."""
    bare = Board("Mainboard", chip=chip or "unknown", supply_v=_SUPPLY_V)
    claims = claims_of(read(machine), Assembly("skeleton", {"main": bare}), words)
    made: dict[str, Any] = {
        "board": {"name": bare.name, "chip": bare.chip, "supply_v": _SUPPLY_V},
        "nets": {},
        "drivers": {},
        "connectors": {},
    }
    for role in sorted(claims.roles(), key=order):
        pin = _pin(claims, role)
        part = guess(role, claims, bare, built_in()[0]) if pin else None
        if part:
            _add(made, role, pin, part, claims)
    told = tomli_w.dumps({key: it for key, it in made.items() if it})
    names = list(_names(claims))
    if names:
        told += "\n".join(["", f"# [pin_names.{machine.style}]", *names, ""])
    return Source.of_text("mainboard.toml", f"{_HEAD}\n{told}")


def _names(claims: Claims) -> Iterator[str]:
    """Yield what only the board can explain: its own names for chip pins, as comments."""
    for role in sorted(claims.roles(), key=order):
        claim = claims.find(role, "pin")
        value = claim.value if claim else None
        if isinstance(value, PinValue) and value.unknown and value.written.isprintable():
            yield f'# {printable(value.written)} = "..."  # {role}'


def _pin(claims: Claims, role: str) -> str:
    claim = claims.find(role, "pin")
    value = claim.value if claim and not claim.doubt else None
    return value.place.pin if isinstance(value, PinValue) and value.place else ""


def _add(made: dict[str, Any], role: str, pin: str, part: Part, claims: Claims) -> None:
    name, function = role.replace(".", "_"), roles.function(role)
    if function == "servo" and pin in made["nets"]:
        return
    if function == "motor":
        ends = [f"{name}_{end}" for end in ("1A", "1B", "2A", "2B")]
        made["drivers"][name] = {"step_pin": pin, "coils": ends}
        made["connectors"][name] = {"pins": ends}
        return
    net: dict[str, Any] = {"chip_pin": pin}
    if function in ("heater", "fan"):
        net["switch"] = {"side": "low"}
    elif function == "sensor" and part.sensor:
        net["pullup"] = {"ohm": 4700, "to_v": 3.3}
    made["nets"].setdefault(pin, net)
    made["connectors"][name] = {"pins": list(_carried(made, role, pin, part, claims))}


def _carried(
    made: dict[str, Any], role: str, pin: str, part: Part, claims: Claims
) -> Iterator[str]:
    """Yield the net of each terminal: the chip pin once, a second pin of a probe's servo, rails."""
    ground = roles.function(role) in ("sensor", "endstop", "signal")
    rated = f"{part.rated_v:g}V" if part.rated_v else _RAILS["supply"]
    if part.terminals == ("any", "any"):
        yield from (pin, "GND") if ground else (rated, pin)
        return
    for wants in part.terminals:
        if wants == "control" and roles.function(role) == "signal":
            servo = _pin(claims, str(sibling(role, "servo")))
            if servo:
                made["nets"].setdefault(servo, {"chip_pin": servo})
            yield servo
        elif wants == "supply":
            yield rated
        else:
            yield _RAILS.get(wants, pin)

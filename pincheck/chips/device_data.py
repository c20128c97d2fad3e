"""Finds a chip by name: chips written by hand, then those compiled from device data."""

import re
from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache, lru_cache
from os.path import commonprefix
from pathlib import Path
from typing import Any

from attrs import evolve

from pincheck import resources
from pincheck.chips.electrical import Electrical, covers, electrical_of
from pincheck.chips.model import Basis, Chip, Knowledge, Naming
from pincheck.chips.names import matches, tidy
from pincheck.chips.notation import expand, functions, parse, unite
from pincheck.chips.spelling import canonical_by_syntax, canonical_pin
from pincheck.model.frozen import frozen

_DATA = Path(__file__).parent / "data"
_EVERYTHING: tuple[Knowledge, ...] = ("pins", "converters", "timers")
_LONGEST_NAME = 40

# LPC and AT90USB order codes add the package, `lpc1768fbd100` or `at90usb1286-au`; others,
# such as `esp32-s3` to `esp32`, would be other chips
_PACKAGE = re.compile(r"(fbd100|fet100|-(16)?[am]u|[ab]?-[ac]u?)?")


@frozen
class Found:
    """What the data says of one or several filed chips before electrical facts are added."""

    keys: tuple[str, ...]
    family: str
    pins: Mapping[str, str]
    basis: Basis
    naming: Naming = "port-letter"
    exact: bool = True
    knows: tuple[Knowledge, ...] = _EVERYTHING
    pwm_on_any_pin: bool = False


@lru_cache(maxsize=64)
def chip(name: str) -> Chip | None:
    """Return the chip that `name` means, None where nothing is known of it.

    `name` is an order code in any case, with or without package, temperature and reel letters.
    A name that leaves the package open gives a chip whose `exact` is False.
    """
    text = tidy(name)
    if not text or len(text) > _LONGEST_NAME:
        return None
    for row in _document()["look_alike"]:
        if like := re.match(row["names"], text):
            model = chip(row["model"] + text[like.end() :])
            return model and _stand_in(text, model, tuple(row.get("knows", _EVERYTHING)))
    found = _by_hand(text) or _compiled(text)
    return _finish(text, found) if found else None


@cache
def known_chips() -> tuple[str, ...]:
    """Return every chip name that is known, sorted."""
    by_hand = (name for entry in _hand_entries() for name in _names(entry))
    return tuple(sorted({*_compiled_file()["chips"], *by_hand}))


def suggestions(name: str, count: int = 3) -> tuple[str, ...]:
    """Return the known chip names nearest to `name`, the nearest first."""
    return tuple(get_close_matches(tidy(name)[:_LONGEST_NAME], known_chips(), count, cutoff=0.7))


def _finish(name: str, found: Found) -> Chip:
    key = commonprefix(found.keys)  # noqa: RUF071 (names are no paths)
    facts = electrical_of(key)
    pins = {pin: facts.finish(parse(pin, text)) for pin, text in found.pins.items()}
    timers = dict.fromkeys(t.timer for pin in pins.values() for t in pin.timers)
    digital, analog = _numbering(key)
    return Chip(
        name=name,
        family=found.family,
        naming=found.naming,
        basis=found.basis,
        exact=found.exact,
        knows=frozenset(found.knows),
        pwm_on_any_pin=found.pwm_on_any_pin,
        logic_v=facts.logic_v,
        converter_bits=facts.converter_bits,
        levels=facts.levels,
        five_volt_basis=facts.five_volt.basis,
        five_volt_note=facts.five_volt.note,
        reset_pullup_basis=facts.reset_pullup.basis,
        boot_levels=facts.boot_levels,
        timers={timer: facts.timer(timer) for timer in timers},
        pins=pins,
        digital_numbers=digital,
        analog_numbers=analog,
    )


def _stand_in(name: str, model: Chip, knows: tuple[Knowledge, ...]) -> Chip:
    nothing = Electrical()
    pins = {
        pin.name: evolve(
            pin,
            five_volt="unknown",
            converters=pin.converters if "converters" in knows else (),
            timers=pin.timers if "timers" in knows else (),
        )
        for pin in model.pins.values()
    }
    return evolve(
        model,
        name=name,
        basis=Basis(f"pinout as {model.name}, common practice", "alias"),
        stands_for=model.name,
        knows=frozenset(knows) & model.knows,
        levels=None,
        five_volt_basis=nothing.five_volt.basis,
        five_volt_note="",
        timers={t: nothing.timer(t) for t in model.timers} if "timers" in knows else {},
        pins=pins,
    )


@cache
def _document() -> dict[str, Any]:
    return resources.table(_DATA / "by_hand.toml")


def _hand_entries() -> tuple[dict[str, Any], ...]:
    return tuple(_document()["chip"])


def _names(entry: Mapping[str, Any]) -> tuple[str, ...]:
    return (entry["name"], *entry.get("also", ()))


def _by_hand(name: str) -> Found | None:
    for entry in _hand_entries():
        if key := next((n for n in _names(entry) if _is_order_code_of(name, n)), ""):
            table = functions(entry.get("functions", ""))
            return Found(
                keys=(key,),
                family=entry["family"],
                pins={pin: table.get(pin, "") for pin in expand(entry["pins"])},
                basis=Basis(entry["source"], entry["confidence"]),
                naming=entry["naming"],
                exact=entry.get("exact", True),
                knows=tuple(entry.get("knows", _EVERYTHING)),
                pwm_on_any_pin=entry.get("pwm_on_any_pin", False),
            )
    return None


def _is_order_code_of(name: str, key: str) -> bool:
    return name.startswith(key) and _PACKAGE.fullmatch(name, len(key)) is not None


def canonical(chip_name: str, pin: str) -> str:
    """Return a board's pin as the chip's data spell it; as written where nobody knows the pin."""
    known = chip(chip_name)
    return (known and canonical_pin(known, pin)) or canonical_by_syntax(pin) or pin


@cache
def _compiled_file() -> dict[str, Any]:
    return resources.table(_DATA / "compiled.json")


def _compiled(name: str) -> Found | None:
    content = _compiled_file()
    keys = matches(name, content["chips"])
    filed = [content["chips"][key].split(" ", 2) for key in keys]
    tables = {number: functions(content["functions"][int(number)]) for _, number, _ in filed}
    each = [{pin: tables[number].get(pin, "") for pin in expand(pins)} for _, number, pins in filed]
    return _united(keys, {family for family, _, _ in filed}, each, content["source"])


def _united(
    keys: list[str], families: set[str], each: list[dict[str, str]], source: str
) -> Found | None:
    pins: dict[str, str] = {}
    for one in each:
        unite(pins, one)
    if len(families) != 1:
        return None
    return Found(
        keys=tuple(keys),
        family=min(families),
        pins=pins,
        basis=Basis(source, "device data"),
        naming="gpio" if families == {"rp2040"} else "port-letter",
        exact=all(one.keys() == pins.keys() for one in each),
    )


@cache
def _numberings() -> tuple[dict[str, Any], ...]:
    return tuple(resources.table(_DATA / "numbering.toml")["numbering"])


def _numbering(key: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    for entry in _numberings():
        if covers(entry["chips"], key):
            return tuple(expand(entry["digital"])), tuple(expand(entry["analog"]))
    return (), ()

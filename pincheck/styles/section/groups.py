"""Section style: what each named section is for."""

import re
from collections.abc import Iterable, Iterator, Mapping

from pincheck.model.role import split
from pincheck.styles.groups import Group, Groups, Reached, Seats, Things, seated

ThingRow = tuple[str, str, str, int | None]
"""Kind, id, group and number of a thing; the group empty, the number None where nothing tells."""

_EXTRUDER = re.compile(r"extruder(\d{0,2})")
_NUMERAL = re.compile(r"\d+(?!.*\d)")
_COUNTED = ("part", "filament")
"""Groups of which every tool has one: a numeral in the name is the tool's."""


def heater(name: str, groups: Mapping[tuple[str, str], Group]) -> Group | None:
    """Return the group of a heater as other sections name it."""
    name = name.strip()
    if match := _EXTRUDER.fullmatch(name):
        return "hotend", int(match[1] or 0)
    if name == "heater_bed":
        return "bed", 0
    return groups.get(("heater", name.removeprefix("heater_generic ").strip()))


def section_groups(things: Things, reached: Reached, fitted: frozenset[str]) -> Groups:
    """Return the group of every named section; `fitted` are the roles of the wiring.

    The user's own name decides first, then the heater that a fan watches: a fan that is called
    after the hot end but watches the bed is the hot end's fan, watching the wrong heater. Which
    of several alike it is, and what a name that tells nothing means, the copper tells.
    """
    seats = Seats(reached, fitted)
    table: dict[tuple[str, str], Group] = {}

    def seat(rows: Iterable[ThingRow], function: str) -> None:
        table.update(seated(_numbered(rows, function, reached, fitted), function, seats))

    seat(_heaters(things, fitted), "heater")
    for (_, name), group in tuple(table.items()):
        table["sensor of heater", name] = group
        seats.reserve(group, "sensor")
    seat(_fans(things, table, reached), "fan")
    seat(_sensors(things), "sensor")
    seat(_filament(things), "sensor")
    seat(_outputs(things), "output")
    if "probe.servo" in fitted:
        seat(_servos(things, reached), "servo")
    return Groups(table, tuple(sorted(int(n) for n in things.of("extruder"))))


def _numbered(
    rows: Iterable[ThingRow], function: str, reached: Reached, fitted: frozenset[str]
) -> Iterator[ThingRow]:
    """Yield every row, of those that are counted like the tools each with the number it has."""
    owned: dict[Group, ThingRow] = {}
    loose: list[ThingRow] = []
    for kind, name, group, number in rows:
        if number is None:
            loose.append((kind, name, group, None))
        elif (group, number) in owned:
            loose.append((kind, name, "", None))
        else:
            owned[group, number] = kind, name, group, number
    yield from owned.values()
    free = [(of, at) for of, at, its in map(split, fitted) if its == function]
    free = [seat for seat in free if seat not in owned]
    homes = _in_order({row: _home(row, function, reached) for row in loose}, free)
    for row, home in homes.items():
        if home and home not in owned:
            owned[home] = row
            yield *row[:2], *home
    yield from (row for row in loose if row not in owned.values())


def _home(row: ThingRow, function: str, reached: Reached) -> Group | None:
    """Return the counted seat of the part on a thing's pin, if the name does not deny it."""
    kind, name, group, _ = row
    seats = (split(role) for role in reached.get((kind, name), ()))
    found = ((of, at) for of, at, its in seats if its == function and of in _COUNTED)
    return next((seat for seat in found if group in ("", seat[0])), None)


def _in_order(
    homes: Mapping[ThingRow, Group | None], free: Iterable[Group]
) -> Mapping[ThingRow, Group | None]:
    """Return the homes; of things whose names count them, if as many are fitted, in that order.

    Otherwise two sensors or fans on each other's pin would just change their names.
    """
    found = dict(homes)
    for group in _COUNTED:
        rows = [row for row in homes if row[2] == group]
        seats = sorted(seat for seat in free if seat[0] == group)
        numerals = {row: int(n[0]) for row in rows if (n := _NUMERAL.search(row[1]))}
        if len(set(numerals.values())) == len(rows) == len(seats):
            found.update(zip(sorted(rows, key=numerals.__getitem__), seats, strict=True))
    return found


def _heaters(things: Things, fitted: frozenset[str]) -> Iterator[ThingRow]:
    names = [n for n in things.of("heater") if n != "heater_bed" and not _EXTRUDER.fullmatch(n)]
    further = [(of, at) for of, at, its in map(split, fitted) if its == "heater"]
    further = [seat for seat in further if seat[0] in ("chamber", "aux")]
    for name in names:
        named = "chamber" if things.named_group(name) == "chamber" else ""
        if len(names) == len(further) == 1 and named in ("", further[0][0]):
            yield "heater", name, *further[0]
        else:
            yield "heater", name, named, None


def _fans(
    things: Things, table: dict[tuple[str, str], Group], reached: Reached
) -> Iterator[ThingRow]:
    if things.of("fan"):
        yield "fan", "0", "part", 0
    for name in things.of("controller fan"):
        yield "controller fan", name, "controller", None
    watching = {
        name: heater(re.split("[,:]", things.link("watched heater", name) or "extruder")[0], table)
        or ("hotend", 0)
        for name in things.of("watching fan")
    }
    cools = {
        name: {split(role)[0] for role in reached.get(("watching fan", name), ())}
        for name in watching
    }
    named = {name: _said(things.named_group(name), cools[name]) for name in watching}

    def rank(name: str) -> tuple[bool, bool, bool]:
        """Put first what the user calls a hot end's fan, then what hangs there or watches one."""
        return not named[name], "hotend" not in cools[name], watching[name][0] != "hotend"

    for name in sorted(watching, key=rank):
        if named[name] in ("hotend", ""):
            group, number = watching[name]
            yield "watching fan", name, "hotend", number if group == "hotend" else 0
        else:
            yield "watching fan", name, named[name], None
    for kind in ("free fan", "regulated fan"):
        for name in things.of(kind):
            yield kind, name, things.named_group(name), None


def _said(group: str, cools: set[str]) -> str:
    """Return what the name of a fan that watches a heater says, where the copper does not deny it.

    Part fans obey a command: one that starts with a heater is the hot end's, whatever it is
    called, unless it hangs where a part fan does.
    """
    if "hotend" in cools or (group == "part" and "part" not in cools):
        return "hotend"
    return group


def _sensors(things: Things) -> Iterator[ThingRow]:
    """Yield the sensors of chips, and those with a pin: others sum others up or hang on a bus."""
    kinds = (("sensor", "sensor"), ("sensor of regulated fan", "fan's sensor"))
    for kind, link in kinds:
        for name in things.of(kind):
            of_chip = things.link(f"type of {link}", name).lower()
            if of_chip in ("temperature_mcu", "temperature_host") or "mcu" in of_chip:
                yield kind, name, "board", None
            elif things.link(f"pin of {link}", name):
                yield kind, name, "chamber" if things.named_group(name) == "chamber" else "", None


def _filament(things: Things) -> Iterator[ThingRow]:
    for kind in ("filament switch", "filament encoder"):
        for name in things.of(kind):
            yield kind, name, "filament", None


def _outputs(things: Things) -> Iterator[ThingRow]:
    for kind in ("output", "static output", "light"):
        for name in things.of(kind):
            yield kind, name, "", None


def _servos(things: Things, reached: Reached) -> Iterator[ThingRow]:
    """Yield the servo that deploys the probe; others are no function of the tool head."""
    for name in things.of("servo"):
        if "probe.servo" in reached.get(("servo", name), ()) or "probe" in name.lower():
            yield "servo", name, "probe", 0

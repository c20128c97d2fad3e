"""Section style: what each named section is for."""

import re
from collections.abc import Iterator, Mapping

from pincheck.claims.groups import Group, Groups, Reached, Seats, Things, seated

_EXTRUDER = re.compile(r"extruder(\d{0,2})")


def heater(name: str, groups: Mapping[tuple[str, str], Group]) -> Group | None:
    """Return the group of a heater as other sections name it."""
    name = name.strip()
    if match := _EXTRUDER.fullmatch(name):
        return "hotend", int(match[1] or 0)
    if name == "heater_bed":
        return "bed", 0
    return groups.get(("heater", name.removeprefix("heater_generic ").strip()))


def section_groups(things: Things, reached: Reached) -> Groups:
    """Return the group of every named section.

    The user's own name decides first, then the heater that a fan watches: a fan that is called
    after the hot end but watches the bed is the hot end's fan, watching the wrong heater.
    """
    seats = Seats(reached)
    table: dict[tuple[str, str], Group] = {}
    table.update(seated(_heaters(things), "heater", seats))
    for (_, name), group in tuple(table.items()):
        table["sensor of heater", name] = group
        seats.reserve(group, "sensor")
    table.update(seated(_fans(things, table), "fan", seats))
    table.update(seated(_sensors(things), "sensor", seats))
    table.update(seated(_outputs(things), "output", seats))
    return Groups(table, tuple(sorted(int(n) for n in things.of("extruder"))))


def _heaters(things: Things) -> Iterator[tuple[str, str, str, int | None]]:
    for name in things.of("heater"):
        if name == "heater_bed" or _EXTRUDER.fullmatch(name):
            continue
        yield "heater", name, "chamber" if things.named_group(name) == "chamber" else "aux", None


def _fans(
    things: Things, table: dict[tuple[str, str], Group]
) -> Iterator[tuple[str, str, str, int | None]]:
    if things.of("fan"):
        yield "fan", "0", "part", 0
    for name in things.of("controller fan"):
        yield "controller fan", name, "controller", None
    watching = {
        name: heater(re.split("[,:]", things.link("watched heater", name) or "extruder")[0], table)
        for name in things.of("watching fan")
    }
    named = {name: things.named_group(name) for name in watching}
    clear = [name for name in watching if named[name]]
    # those that a name tells come first, so that a nameless one does not take their seat
    for name in sorted(watching, key=lambda name: name not in clear):
        group, number = watching[name] or ("hotend", 0)
        if named[name] == "hotend":
            yield "watching fan", name, "hotend", number if group == "hotend" else 0
        elif named[name]:
            yield "watching fan", name, named[name], None
        else:
            yield "watching fan", name, "hotend", number if group == "hotend" else 0
    for kind in ("free fan", "regulated fan"):
        for name in things.of(kind):
            yield kind, name, things.named_group(name), None


def _sensors(things: Things) -> Iterator[tuple[str, str, str, int | None]]:
    kinds = (("sensor", "sensor type"), ("sensor of regulated fan", "sensor type of fan"))
    for kind, link in kinds:
        for name in things.of(kind):
            of_chip = things.link(link, name).lower()
            if of_chip in ("temperature_mcu", "temperature_host") or "mcu" in of_chip:
                yield kind, name, "board", None
            else:
                chamber = things.named_group(name) == "chamber"
                yield kind, name, "chamber" if chamber else "aux", None


def _outputs(things: Things) -> Iterator[tuple[str, str, str, int | None]]:
    for kind in ("output", "static output", "light"):
        for name in things.of(kind):
            yield kind, name, "aux", None

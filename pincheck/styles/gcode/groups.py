"""Gcode style: what each numbered heater, sensor and fan is for."""

from collections.abc import Iterable, Iterator

from pincheck.model.role import split
from pincheck.styles.groups import Group, Groups, Reached, Seats, Things, numbers, seated

_OF_BOARD = ("mcu-temp", "drivers", "drivers-duex")
_VIRTUAL = 100
"""From here on a heater of the older generation is no heater but what a chip measures of itself."""


def gcode_groups(things: Things, reached: Reached, fitted: frozenset[str]) -> Groups:
    """Return the group of every number.

    Tools name their heaters and fans; bed and chamber name theirs. Where no command says so,
    heater 0 is the bed's and the next ones the tools' (common practice of both generations).
    """
    seats = Seats(reached, fitted)
    table = {("heater", number): group for number, group in _heaters(things, reached).items()}
    table.update(_sensors(things, table, reached, seats))
    table.update(seated(_fans(things, table, reached), "fan", seats))
    table.update(seated((("output", n, "aux", None) for n in things.of("output")), "output", seats))
    servos = things.of("servo")
    table.update((("servo", number), ("probe", 0)) for number in sorted(servos, key=int)[:1])
    table.update(seated((("light", n, "aux", None) for n in things.of("light")), "output", seats))
    table.update(_drivers(things))
    hotends = sorted({number for group, number in table.values() if group == "hotend"})
    for at, tool in enumerate(_tools(things)):
        table["tool", tool], table["blower", tool] = ("hotend", at), ("part", at)
        table["feeder", tool] = table["motor", str(at)] = "extruder", at
    # the older generation has no sensors of their own
    return Groups(table, tuple(hotends), "sensor" if things.of("sensor") else "heater")


def _drivers(things: Things) -> Iterator[tuple[tuple[str, str], Group]]:
    """Yield what each driver moves: by habit the first ones X, Y, Z and the extruder."""
    told = {axis.lower(): text for axis, text in things.linked("drivers of axis")}
    for usual, name in enumerate(("x", "y", "z", "extruder")):
        own = things.link("drivers of extruders", "0") if name == "extruder" else told.get(name)
        for at, number in enumerate(numbers(own or str(usual))):
            yield ("driver", number), (name, at)


def _tools(things: Things) -> list[str]:
    """Return every tool in its order, those of branches that are not taken included."""
    return sorted({*things.of("tool"), *things.of("tool not run")}, key=int)


def _heaters(things: Things, reached: Reached) -> dict[str, Group]:
    of_tools = {
        at: things.link("heaters of tool", tool)
        for at, tool in enumerate(_tools(things))
        if tool in things.of("tool")
    }
    named_by_tools = [n for text in of_tools.values() for n in numbers(text)]
    found: dict[str, Group] = {}
    for group, link in (("bed", "heater of bed"), ("chamber", "heater of chamber")):
        named = (numbers(text)[:1] for _, text in sorted(things.linked(link), key=_place))
        for at, (number,) in enumerate(dict.fromkeys(filter(None, named))):
            there = reached.get(("heater", number), ())
            of_tool = number in named_by_tools and any(r.startswith("hotend") for r in there)
            if not of_tool and (number in things.of("heater") or not things.of("sensor")):
                found.setdefault(number, (group, at))
    has_bed = any(group == "bed" for group, _ in found.values())
    hot = any(role.startswith("hotend") for role in reached.get(("heater", "0"), ()))
    if not (has_bed or hot) and _nobodys(things, named_by_tools):
        # a tool that names the bed's heater by mistake leaves its own to nobody
        found["0"] = "bed", 0
    for at, text in of_tools.items():
        for number in numbers(text):
            if number in things.of("heater") or not _nobodys(things, named_by_tools):
                found.setdefault(number, ("hotend", at))
    # what no command gives a job goes by its pin or by habit, and only where nothing is to guess
    followed = (n for _, text in things.linked("watched by fan") for n in numbers(text))
    virtual = {n for n in followed if int(n) >= _VIRTUAL and not things.of("sensor")}
    free = [("hotend", at) for at in of_tools if ("hotend", at) not in found.values()]
    for number in sorted({*things.of("heater"), *virtual}, key=int):
        if number in found:
            continue
        pins = (f"hotend{at or ''}.heater" for _, at in free)
        own = next(
            (n for n, pin in enumerate(pins) if pin in reached.get(("heater", number), ())), 0
        )
        if int(number) >= _VIRTUAL:
            found[number] = "board", int(number) - _VIRTUAL
        elif number == "0" and not has_bed:
            found[number] = "bed", 0
        elif free and number != "0":
            found[number] = free.pop(own)
        elif not of_tools and number != "0":
            found[number] = "hotend", int(number) - 1
        else:
            found[number] = "aux", int(number)
    return found


def _nobodys(things: Things, named: Iterable[str]) -> set[str]:
    """Return the heaters but the first that no tool, bed or chamber names."""
    links = ("heater of bed", "heater of chamber")
    given = (n for link in links for _, text in things.linked(link) for n in numbers(text))
    return set(things.of("heater")) - {"0", *named, *given}


def _place(linked: tuple[str, str]) -> int:
    """Return which of several beds or chambers a command speaks of: the first unless it says."""
    return int(linked[0] or 0)


def _sensors(
    things: Things, table: dict[tuple[str, str], Group], reached: Reached, seats: Seats
) -> Iterator[tuple[tuple[str, str], Group]]:
    bound = _bound(things, table, reached)
    for number in things.of("sensor"):
        if number in bound:
            yield ("sensor", number), bound[number]
    for group in bound.values():
        seats.reserve(group, "sensor")
    loose = [number for number in things.of("sensor") if number not in bound]
    yield from seated(
        (("sensor", number, _loose(things, number), None) for number in loose), "sensor", seats
    )


def _bound(
    things: Things, table: dict[tuple[str, str], Group], reached: Reached
) -> dict[str, Group]:
    """Return the group of every sensor that regulates a heater, or that should.

    Where a heater names the sensor of another one, and the sensor on its own pin is there, its
    number is wrong and not the sensor's pin. Two heaters that name each other's are told from two
    sensors on each other's pins by the habit to number a sensor after its heater.
    """
    named = {
        heater: number
        for heater, text in things.linked("sensor of heater")
        for number in numbers(text)[:1]
        if ("heater", heater) in table
    }
    found: dict[str, Group] = {}
    for heater in sorted(named, key=lambda heater: table["heater", heater][0] == "aux"):
        group, number = table["heater", heater], named[heater]
        own = f"{group[0]}{group[1] or ''}.sensor"
        at_home = next(
            (n for n in things.of("sensor") if own in reached.get(("sensor", n), ())), ""
        )
        astray = own not in reached.get(("sensor", number), (own,))
        without = number not in things.of("sensor") or _of_board(things, number)
        unusual = at_home not in named.values() or number != heater
        if at_home and (without or (astray and unusual)):
            found[at_home] = group
        else:
            found.setdefault(number, group)
    # where a heater that is to come has no sensor yet, the pin tells
    bare = {
        f"{g}{n or ''}.sensor": (g, n) for g, n in table.values() if (g, n) not in found.values()
    }
    for number in (n for n in things.of("sensor") if n not in found):
        at_pin = [bare[r] for r in reached.get(("sensor", number), ()) if r in bare]
        if at_pin and at_pin[0][0] != "aux":
            found[number] = at_pin[0]
    return found


def _of_board(things: Things, number: str) -> bool:
    return things.link("type of sensor", number).lower() in _OF_BOARD


def _loose(things: Things, number: str) -> str:
    if _of_board(things, number):
        return "board"
    named = things.named_group(things.link("name of sensor", number))
    return named if named in ("chamber", "probe") else "aux"


def _fans(
    things: Things, table: dict[tuple[str, str], Group], reached: Reached
) -> Iterator[tuple[str, str, str, int | None]]:
    tools = sorted(things.of("tool"), key=int)
    of_tools = [n for tool in tools for n in numbers(things.link("fans of tool", tool) or "0")]
    rank = {fan: at for at, fan in reversed(list(enumerate(of_tools)))}
    fans = sorted(things.of("fan"), key=int)
    watching = _cooling({fan: watched(things, fan, table) for fan in fans}, reached)
    named = {fan: things.named_group(things.link("name of fan", fan)) for fan in fans}
    cooled = any(group and group[0] == "hotend" for group in watching.values())
    mixed = {fan for fan in fans if _watches_more(things, fan, table)}
    alone = {f for f, group in watching.items() if group and group[0] == "hotend"} - mixed
    for fan in sorted(fans, key=lambda fan: (not watching[fan], fan in mixed, not named[fan])):
        group = watching[fan]
        # A fan that runs while anything is hot cools the board, where another one has the hot end.
        boards = fan in mixed and alone and named[fan] != "hotend"
        # One that hangs at the part fan, beside the hot end's own, watches by mistake.
        mates = (it for it in fans if it != fan and watching[it] == group)
        of_mates = {split(r)[:2] for it in mates for r in reached.get(("fan", it), ())}
        at_pin = {split(r)[0] for r in reached.get(("fan", fan), ())}
        if group and group[0] == "hotend" and at_pin == {"part"} and group in of_mates:
            yield "fan", fan, "part", None
            continue
        if group and (named[fan] == "controller" or boards):
            yield "fan", fan, "controller", None
        elif group and (named[fan] == "hotend" or group[0] == "hotend"):
            yield "fan", fan, "hotend", group[1] if group[0] == "hotend" else 0
        elif group and group[0] == "board":
            yield "fan", fan, "controller", None
        elif group:
            usual = "hotend" if group[0] == "bed" and not cooled else group[0]
            yield "fan", fan, named[fan] or usual, 0 if usual == "hotend" else None
    free = [fan for fan in fans if not watching[fan]]
    for fan in sorted(free, key=lambda fan: rank.get(fan, len(rank))):
        is_part = fan in rank or (not tools and fan == "0")
        yield "fan", fan, named[fan] or ("part" if is_part else "aux"), None


def _cooling(watching: dict[str, Group | None], reached: Reached) -> dict[str, Group | None]:
    """Return what each fan is to cool: what it watches, unless it hangs at another hot end.

    Where two fans watch one hot end, the pins tell which of them is another's.
    """
    found = dict(watching)
    for fan, group in watching.items():
        mates = [other for other, its in watching.items() if its == group]
        if group is None or group[0] != "hotend" or len(mates) < 2:
            continue
        at_pin = (split(r) for r in reached.get(("fan", fan), ()) if r.endswith(".fan"))
        others = [("hotend", n) for g, n, _ in at_pin if g == "hotend" and ("hotend", n) != group]
        if others and others[0] not in watching.values():
            found[fan] = others[0]
    return found


def _watches_more(things: Things, fan: str, table: dict[tuple[str, str], Group]) -> bool:
    """Tell whether a fan runs for a hot end and for something else too."""
    kinds = {group[0] for group in _all_watched(things, fan, table)}
    return "hotend" in kinds and len(kinds) > 1


def watched(things: Things, fan: str, table: dict[tuple[str, str], Group]) -> Group | None:
    """Return the group that a fan's first monitored sensor or heater belongs to."""
    groups = _all_watched(things, fan, table)
    return next((g for g in groups if g[0] == "hotend"), groups[0] if groups else None)


def _all_watched(
    things: Things, fan: str, table: dict[tuple[str, str], Group]
) -> tuple[Group, ...]:
    kind = "sensor" if things.of("sensor") else "heater"
    ids = numbers(things.link("watched by fan", fan))
    return tuple(table[kind, number] for number in ids if (kind, number) in table)

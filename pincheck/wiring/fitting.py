"""Cables, fitted parts and limits of an assembly, checked against its boards and parts."""

from collections.abc import Iterator, Mapping
from typing import Any

from pincheck.model import role as roles
from pincheck.model.nearest import nearest
from pincheck.model.wiring import Board, Cable, Connector, Fit, Limit, MainsFacts, Part
from pincheck.toml.scan import KeyPath
from pincheck.toml.table import Tables, show
from pincheck.wiring import schema
from pincheck.wiring.cables import Socket, Sockets, count_pins, named, read_cables

_WITHOUT_WIRES = ("block", "plate")

_KINDS: Mapping[str, tuple[str, ...]] = {
    "heater": ("heater",),
    "sensor": ("sensor",),
    "fan": ("fan",),
    "tachometer": ("fan",),
    "block": ("block",),
    "plate": ("plate",),
    "signal": ("probe", "endstop"),
    "servo": ("servo",),
    "motor": ("motor",),
    "endstop": ("endstop", "probe"),
    "output": ("output", "fan", "servo", "heater"),
}
"""Kinds of part that can serve each function of a role."""


class Fitting:
    """One assembly's own tables, read against the boards and parts at hand.

    A board or part that could not be read is None: nothing of it can be checked.
    """

    def __init__(
        self, tables: Tables, boards: Mapping[str, Board | None], parts: Mapping[str, Part | None]
    ) -> None:
        self.tables = tables
        self.boards = boards
        self.parts = parts
        self.sockets = Sockets(tables, boards)
        self._roles: dict[str, str] = {}

    def unknown(self, listed: list[str]) -> Iterator[str]:
        """Yield the roles of which nobody knows the wiring; call it after the fits are read."""
        for number, role in enumerate(listed):
            path: KeyPath = ("assembly", "unknown", number)
            if not roles.is_role(role):
                near = nearest(role, roles.names())
                self.tables.wrong(path, f"there is no role {show(role)}", "a role", near)
            elif role in self._roles:
                message = f"role {role} is fitted by fit {show(self._roles[role])}"
                self.tables.wrong(path, message, "only roles that no fit has")
            else:
                yield role
                if role.endswith(".signal"):  # a probe may bring a servo along
                    yield str(roles.sibling(role, "servo"))

    def unverified(self) -> Iterator[str]:
        """Yield "file:line" of every table marked as a draft so far, in the order of the file."""
        for span in sorted(self.sockets.marked, key=lambda span: span.start):
            yield f"{span.source}:{span.line}"

    def chips(self) -> Iterator[tuple[str, str]]:
        """Yield each name of a chip with the key of its board."""
        for name, key in self.tables.texts(("chips",), "key of a board").items():
            path = ("chips", name)
            if key not in self.boards:
                message = f"there is no board {show(key)}"
                self.tables.wrong(path, message, "a key of [boards]", nearest(key, self.boards))
                continue
            board = self.boards[key]
            if board and not board.chip:
                message = f"board {show(key)} has no chip"
                with_chip = [other for other, it in self.boards.items() if it and it.chip]
                expected = "a board with a chip: " + (", ".join(with_chip) or "none here")
                self.tables.wrong(path, message, expected)
            yield name, key

    def cables(self) -> Iterator[Cable]:
        """Yield every cable, its pairs worked out."""
        return read_cables(self.tables, self.sockets)

    def fits(self) -> Iterator[Fit]:
        """Yield every fitted part."""
        for name in self.tables.children(("fit",)):
            path: KeyPath = ("fit", name)
            read = self.tables.read(path, schema.FIT)
            self.sockets.mark(path, read)
            part = self._part(path, read.get("part"))
            role = self._role(path, read.get("role"), part)
            where = self._where(path, read, part)
            if part is None or not role:
                continue
            pins: tuple[int, ...] = ()
            if where:
                pins = self._pins(path, read, part, where[2])
                used = [pin for pin, wants in zip(pins, part.terminals, strict=False) if wants]
                self.sockets.take(
                    (*path, "pins" if "pins" in read else "at"), where[:2], used, f"fit {name}"
                )
            yield Fit(
                name,
                role,
                part,
                connector=where[:2] if where else None,
                pins=pins,
                wire=named(read.get("wire"), f"fit {name}"),
                mains=read.get("mains", MainsFacts()),
                at=self.tables.document.key(path),
            )

    def limits(self) -> Iterator[Limit]:
        """Yield every temperature limit."""
        groups = [group for group, functions in roles.FUNCTIONS.items() if "heater" in functions]
        for group in self.tables.children(("limits",)):
            path: KeyPath = ("limits", group)
            read = self.tables.read(path, schema.LIMIT)
            self.sockets.mark(path, read)
            try:
                roles.split(f"{group}.heater")
            except ValueError:
                message = f"nothing called {show(group)} is heated"
                expected = "one of " + ", ".join(groups) + ", numbered from the second on"
                self.tables.wrong(path, message, expected, nearest(group, groups), on_key=True)
                continue
            if "max_c" in read:
                read.pop("unverified", None)
                yield Limit(group, **read, at=self.tables.document.key(path))

    def _part(self, path: KeyPath, id_: str | None) -> Part | None:
        if id_ is None or id_ in self.parts:
            return self.parts.get(id_ or "")
        near = nearest(id_, self.parts)
        expected = "a part of the catalogue or of your own parts files"
        self.tables.wrong((*path, "part"), f"there is no part {show(id_)}", expected, near)
        return None

    def _role(self, path: KeyPath, role: str | None, part: Part | None) -> str:
        if role is None:
            return ""
        try:
            roles.split(role)
        except ValueError:
            fitting = [it for it in roles.names() if part is None or part.kind in kinds_for(it)]
            near = _meant(role, fitting)
            expected = "" if near else "one of " + ", ".join(fitting)
            self.tables.wrong((*path, "role"), f"there is no role {show(role)}", expected, near)
            return ""
        kinds = kinds_for(role)
        if part and part.kind not in kinds:
            message = f"{show(part.id)} is of kind {part.kind}, which cannot be {role}"
            self.tables.wrong((*path, "part"), message, f"a part of kind {' or '.join(kinds)}")
        # A probe with a servo of its own, or a fan with a tachometer, serves two roles at once.
        for each in part.serves(role) if part else (role,):
            holder = self._roles.setdefault(each, str(path[-1]))
            if holder != path[-1]:
                message = f"role {each} is fitted twice: fit {show(holder)} has it already"
                expected = f"one fit for each role: {self._next_free(role)} is the next free one"
                self.tables.wrong((*path, "role"), message, expected)
        return role

    def _next_free(self, role: str) -> str:
        group, number, function = roles.split(role)
        fits = self.tables.document.get(("fit",)).values()
        # A list, for what stands where a role belongs may be anything.
        taken = [fit.get("role") for fit in fits if isinstance(fit, dict)]
        numbered = (roles.role(group, n, function) for n in range(number + 1, 100))
        return next((free for free in numbered if free not in taken), "none")

    def _where(self, path: KeyPath, read: dict[str, Any], part: Part | None) -> Socket | None:
        wired = part is not None and part.kind not in _WITHOUT_WIRES
        if "at" in read:
            if part and not wired:
                message = f"a {part.kind} has no wires"
                self.tables.wrong((*path, "at"), message, "no connector", on_key=True)
            return self.sockets.find((*path, "at"), read["at"])
        if wired and "at" not in self.tables.document.get(path):
            self.tables.wrong(path, f"{path[-1]} lacks the key 'at'", schema.FIT["at"].expected)
        return None

    def _pins(
        self, path: KeyPath, read: dict[str, Any], part: Part, connector: Connector | None
    ) -> tuple[int, ...]:
        terminals = len(part.terminals)
        count = count_pins(connector)
        if "pins" not in read:
            if count is not None and count < terminals:
                message = (
                    f"{show(part.id)} has {terminals} terminals, {read['at']} has {count} pins"
                )
                self.tables.wrong((*path, "at"), message, "a pin for each terminal")
                return tuple(range(1, count + 1))
            return tuple(range(1, terminals + 1))
        pins = read["pins"]
        path = (*path, "pins")
        if not isinstance(pins, list) or len(pins) != terminals:
            message = f"{show(pins)} does not give a pin for each terminal of {show(part.id)}"
            wants = ", ".join(wanted or "(open)" for wanted in part.terminals)
            self.tables.wrong(path, message, f"{terminals} pins, for {wants}")
            return ()
        used: set[int] = set()
        good = [
            self.sockets.whole((*path, number), pin)
            and self.sockets.pin((*path, number), pin, count, used)
            for number, pin in enumerate(pins)
        ]
        return tuple(pins) if all(good) else ()


def kinds_for(role: str) -> tuple[str, ...]:
    """Return the kinds of part that can serve a role."""
    kinds = _KINDS[roles.split(role)[2]]
    return (*kinds, "endstop") if role.startswith("filament") else kinds


def _meant(role: str, fitting: list[str]) -> str:
    """Return the role that was meant, of those that the part can serve; empty where none is near.

    A right group with a wrong function means that group, whatever the function looks like.
    """
    group = role.partition(".")[0]
    own = [it for it in fitting if it.partition(".")[0] == group.rstrip("0123456789")]
    near = own[0] if len(own) == 1 else nearest(role, own or fitting)
    return f"{group}.{near.partition('.')[2]}" if near in own else near

"""Two boards socket by socket, whatever is plugged into them."""

from collections.abc import Iterator

from attrs import evolve

from pincheck.compare.difference import Difference, RevisionState, differing
from pincheck.compare.figures import amps, divided, least_track, ohms
from pincheck.compare.plugs import connector_differences
from pincheck.model.frozen import frozen
from pincheck.model.wiring import Board, Connector, Net, PullResistor


@frozen
class SocketChange:
    """One socket in both revisions.

    `before` and `after` are what its pins lead to, in words; `renamed` is its name in the second
    revision where that differs.
    """

    name: str
    state: RevisionState
    before: str
    after: str
    renamed: str = ""
    differences: tuple[Difference, ...] = ()
    plug: tuple[Difference, ...] = ()

    @property
    def part_stays(self) -> bool:
        """Whether what was plugged in goes over with its plug as it is."""
        return self.state not in ("gained", "lost") and not self.plug


@frozen
class BoardRevision:
    """Two boards side by side; `settings` are what their own pins header or names say."""

    before: Board
    after: Board
    sockets: tuple[SocketChange, ...]
    settings: tuple[Difference, ...] = ()


def compare_boards(before: Board, after: Board) -> BoardRevision:
    """Return what changed for every socket from one board to the other."""
    return BoardRevision(
        before, after, tuple(_sockets(before, after)), tuple(_settings(before, after))
    )


def _sockets(before: Board, after: Board) -> Iterator[SocketChange]:
    hubs = _hub(before), _hub(after)
    pairs = _paired(before, after)
    for name, other in pairs:
        old = before.connectors.get(name) if name else None
        new = after.connectors.get(other) if other else None
        was = _leads(before, old, hubs[0]) if old else ""
        is_ = _leads(after, new, hubs[1]) if new else ""
        if old is None or new is None:
            yield SocketChange(name or other, "gained" if new else "lost", was, is_)
            continue
        plug = tuple(connector_differences(old, new))
        differences = tuple(differing(_ratings(before, old, after, new)))
        state: RevisionState = "same"
        if was != is_:
            state = "moved"
        elif differences or plug:
            state = "rating changed"
        made = SocketChange(name, state, was, is_, differences=differences, plug=plug)
        yield evolve(made, renamed=other if other != name else "")


def _paired(before: Board, after: Board) -> list[tuple[str, str]]:
    """Return the sockets of both boards in pairs, by name and else by the longest shared start."""
    free = [name for name in after.connectors if name not in before.connectors]
    pairs = []
    for name in before.connectors:
        if name in after.connectors:
            pairs.append((name, name))
            continue
        near = next(
            (other for other in free if other.startswith(name) or name.startswith(other)), ""
        )
        if near:
            free.remove(near)
        pairs.append((name, near))
    return [*pairs, *(("", name) for name in free)]


def _hub(board: Board) -> str:
    """Return the connector through which a board without a chip is fed: its largest."""
    if board.chip or not board.connectors:
        return ""
    return max(board.connectors.values(), key=lambda connector: len(connector.pins)).name


def _leads(board: Board, connector: Connector, hub: str) -> str:
    return ", ".join(_lead(board, net, connector, hub) for net in connector.pins)


def _lead(board: Board, name: str, connector: Connector, hub: str) -> str:
    if not name:
        return "open"
    net = board.nets[name]
    if net.supply_v is not None and net.switch is None:
        return f"{net.supply_v:g} V" if net.supply_v else "ground"
    if net.driver:
        return f"driver {net.driver}"
    if pin := _chip_pin(board, net):
        return pin
    ends = (
        f"{other.name} {number}"
        for other in board.connectors.values()
        for number, at in enumerate(other.pins, 1)
        if at == name
        and other.name != connector.name
        and (connector.name == hub or other.name == hub)
    )
    return "/".join(ends) or name


def _chip_pin(board: Board, net: Net) -> str:
    seen: set[str] = set()
    while not net.chip_pin and net.driven_by and net.name not in seen:
        seen.add(net.name)
        net = board.nets[net.driven_by]
    return net.chip_pin


def _ratings(
    before: Board, old: Connector, after: Board, new: Connector
) -> Iterator[tuple[str, str, str]]:
    yield "contact", amps(old.contact_a), amps(new.contact_a)
    for number, (one, other) in enumerate(zip(old.pins, new.pins, strict=False), 1):
        if one and other:
            facts = _net_facts(before, before.nets[one]), _net_facts(after, after.nets[other])
            yield f"pin {number}", *facts


def _net_facts(board: Board, net: Net) -> str:
    driver = board.drivers.get(net.driver) if net.driver else None
    facts = (
        ("switch", amps(net.switch.max_a if net.switch else None)),
        ("pull-up", _pull(net.pullup)),
        ("pull-down", _pull(net.pulldown)),
        ("divider", divided(net.divider)),
        (
            f"driver {driver.type}".strip() if driver else "",
            f"{amps(driver.max_a)}, {driver.sense_ohm or 0:g} ohm" if driver else "",
        ),
        ("track", least_track([net.track] if net.track else [])),
        ("rail", amps(net.max_a)),
        ("fuse", amps(net.fuse_a)),
    )
    return ", ".join(f"{name} {words}" for name, words in facts if words)


def _pull(pull: PullResistor | None) -> str:
    return f"{ohms(pull.ohm)} to {pull.to_v:g} V" if pull else ""


def _settings(before: Board, after: Board) -> Iterator[Difference]:
    yield from differing(
        (
            ("chip", before.chip, after.chip),
            ("supply", _volts(before), _volts(after)),
            ("crystal at the chip", _said(before.crystal), _said(after.crystal)),
            ("USB at the chip", _said(before.usb), _said(after.usb)),
            ("name in the define style", " ".join(before.identifiers), " ".join(after.identifiers)),
        )
    )
    for key in dict.fromkeys((*before.stock_pins, *after.stock_pins)):
        yield from differing(
            ((f"stock {key}", before.stock_pins.get(key, ""), after.stock_pins.get(key, "")),)
        )
    for style in dict.fromkeys((*before.pin_names, *after.pin_names)):
        old, new = before.pin_names.get(style, {}), after.pin_names.get(style, {})
        for name in dict.fromkeys((*old, *new)):
            row = (f"{style} style {name}", old.get(name, ""), new.get(name, ""))
            yield from differing((row,))


def _said(fitted: bool | None) -> str:
    return "" if fitted is None else "yes" if fitted else "no"


def _volts(board: Board) -> str:
    return f"{board.supply_v:g} V" if board.supply_v else ""

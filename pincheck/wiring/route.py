"""A route through the copper as hops in words, with the figures met on it."""

from collections.abc import Iterator

from attrs import evolve

from pincheck.model.path import Contact, Hop, Path
from pincheck.model.wiring import Fit, Net
from pincheck.wiring.copper import Copper, Crossing, Drive, NetKey


def from_drive(copper: Copper, drive: Drive, fit: Fit, terminal: int) -> Path:
    """Return the path from a chip pin or motor driver to a terminal of a fitted part."""
    legs: list[tuple[NetKey, NetKey]] = []
    for link, following in zip(drive.links, drive.links[1:], strict=False):
        legs.append((link, (following[0], copper.net(following).driven_by)))
    legs.append((drive.links[-1], _met(copper, fit, terminal)))
    boards = copper.assembly.boards
    driver = boards[drive.driver[0]].drivers.get(drive.driver[1]) if drive.driver else None
    if driver and driver.step_pin:
        assert drive.driver
        driver = evolve(driver, step_pin=copper.place(drive.driver[0], driver.step_pin).pin)
    hops = list(_start(copper, drive))
    crossings: list[Crossing] = []
    nets: list[NetKey] = []
    for link, end in legs:
        route = copper.route(link, end)
        hops += _link(copper.net(link), link[0])
        hops += _crossed(copper, link[0], route)
        crossings += route
        nets += [link, *(crossing.to for crossing in route)]
    links = [copper.net(link) for link in drive.links]
    return evolve(
        _figures(copper, hops, nets, crossings, fit, terminal),
        switch=next((net.switch for net in reversed(links) if net.switch), None),
        inverting=sum(bool(net.switch and net.switch.inverting) for net in links) % 2 == 1,
        divider=next((net.divider for net in reversed(links) if net.divider), None),
        driver=driver,
    )


def from_net(copper: Copper, start: NetKey, fit: Fit, terminal: int) -> Path:
    """Return the path from a net, such as a rail, to a terminal of a fitted part."""
    route = copper.route(start, _met(copper, fit, terminal))
    net = copper.net(start)
    first = Hop("net", start[0], f"{net.name} of {copper.label(start[0])}", net.at)
    hops = [first, *_crossed(copper, start[0], route)]
    return _figures(copper, hops, [start, *(c.to for c in route)], list(route), fit, terminal)


def unwired(fit: Fit) -> Path:
    """Return the path of a part that no wire reaches."""
    return Path((Hop("part", "", fit.part.id, fit.at),))


def _met(copper: Copper, fit: Fit, terminal: int) -> NetKey:
    key = copper.at_terminal(fit, terminal)
    assert key is not None, "only a connected terminal has a path"
    return key


def _start(copper: Copper, drive: Drive) -> Iterator[Hop]:
    if drive.place:
        board = drive.place.board
        at = copper.net(drive.links[0]).at
        yield Hop("chip", board, f"{drive.place.pin} of {copper.label(board)}", at)
    elif drive.driver:
        board, name = drive.driver
        driver = copper.assembly.boards[board].drivers.get(name)
        if driver and driver.step_pin:
            step = copper.place(board, driver.step_pin).pin
            yield Hop("chip", board, f"{step} of {copper.label(board)} (step)", driver.at)
        rating = f" {driver.max_a:g} A" if driver and driver.max_a else ""
        of = "" if driver and driver.step_pin else f" of {copper.label(board)}"
        yield Hop("driver", board, f"driver {name}{rating}{of}", driver.at if driver else None)


def _link(net: Net, board: str) -> Iterator[Hop]:
    if net.amplifier:
        reference = f" {net.reference_ohm:g} ohm" if net.reference_ohm else ""
        yield Hop("amplifier", board, f"amplifier {net.amplifier}{reference}", net.at)
    if net.switch:
        rating = f" {net.switch.max_a:g} A" if net.switch.max_a else ""
        yield Hop("switch", board, f"{net.switch.side}-side switch{rating}", net.at)
    if net.divider:
        text = f"divider {net.divider.top_ohm:g}:{net.divider.bottom_ohm:g} ohm"
        yield Hop("divider", board, text, net.at)


def _crossed(copper: Copper, board: str, route: tuple[Crossing, ...]) -> Iterator[Hop]:
    for crossing in route:
        near, far = crossing.from_connector, crossing.to_connector
        yield _connector(copper, near, crossing.from_pins)
        name = {"straight": "straight cable", "mirrored": "mirrored cable"}
        text = name.get(crossing.cable.wiring, "cable pin by pin")
        yield Hop("cable", "", text, crossing.cable.at)
        of = f" of {copper.label(far[0])}" if far[0] != board else ""
        yield _connector(copper, far, crossing.to_pins, of)
        board = far[0]


def _connector(copper: Copper, at: tuple[str, str], pins: tuple[int, ...], of: str = "") -> Hop:
    connector = copper.assembly.boards[at[0]].connectors[at[1]]
    return Hop("connector", at[0], f"{at[1]} {','.join(map(str, pins))}{of}", connector.at)


def _figures(
    copper: Copper,
    hops: list[Hop],
    nets: list[NetKey],
    crossings: list[Crossing],
    fit: Fit,
    terminal: int,
) -> Path:
    assert fit.connector is not None
    socket = (fit.pins[terminal],)
    contacts = [
        _contact(copper, at, pins)
        for crossing in crossings
        for at, pins in (
            (crossing.from_connector, crossing.from_pins),
            (crossing.to_connector, crossing.to_pins),
        )
    ]
    wires = [(c.cable.wire, len(c.from_pins)) for c in crossings if c.cable.wire]
    if fit.wire:
        wires.append((fit.wire, 1))
    # A pull acts on everything that copper joins, a track or resistor only on what flows through.
    around = [copper.net(key) for node in dict.fromkeys(map(copper.node, nets)) for key in node]
    on_route = [copper.net(key) for key in dict.fromkeys(nets)]
    fuses = [(key, amps) for key in dict.fromkeys(nets) if (amps := copper.net(key).fuse_a)]
    return Path(
        (*hops, _connector(copper, fit.connector, socket), Hop("part", "", fit.part.id, fit.at)),
        pullups=tuple(net.pullup for net in around if net.pullup),
        pulldowns=tuple(net.pulldown for net in around if net.pulldown),
        series_ohm=sum(net.series_ohm for net in on_route),
        amplifier=next((net.amplifier for net in on_route if net.amplifier), ""),
        reference_ohm=next((net.reference_ohm for net in on_route if net.reference_ohm), None),
        contacts=(*contacts, _contact(copper, fit.connector, socket)),
        tracks=tuple((net.name, net.track) for net in on_route if net.track),
        wires=tuple(wire for wire, _ in wires),
        in_parallel=tuple(count for _, count in wires),
        fuse=min(fuses, key=lambda fuse: fuse[1], default=None),
    )


def _contact(copper: Copper, at: tuple[str, str], pins: tuple[int, ...]) -> Contact:
    connector = copper.assembly.boards[at[0]].connectors[at[1]]
    return Contact(at[0], at[1], pins, connector.contact_a)

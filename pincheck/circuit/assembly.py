"""From an assembly to its network.

What is taken for granted, so that two who work out one board come to the same figures:

- A mated contact is 10 mohm, from 0 to 30. Between any two things on a net lies one track: half
  of it from the net's star to each. It is what width, weight and length give, else as a contact.
- A wire is solid copper at 20 C by the gauge table, from 0.98 to 1.04 of it.
- A supply and the star of its ground sit on the board that states it; grounds meet in the star of
  a board with a chip, and elsewhere only where `joined_to` says so.
"""

from collections.abc import Iterator

from pincheck.chips import canonical, chip
from pincheck.circuit.feeds import Feeds, feeds_of
from pincheck.circuit.network import Band, Carrier, Element, Key, Kind, Network, Node, exactly
from pincheck.circuit.parts import part_elements
from pincheck.circuit.places import Places
from pincheck.model.source import Span
from pincheck.model.wiring import Assembly, Connector, Fit, Net, PullResistor, Track, Wire
from pincheck.physics.conductor import track_ohm, wire_ohm_m
from pincheck.physics.switch import HOT_FACTOR
from pincheck.wiring.copper import Copper, NetKey
from pincheck.wiring.faults import logic_v

CONTACT = Band(0.0, 0.010, 0.030, "a contact of 0 to 30 mohm")
_HALF_TRACK = Band(0.0, 0.005, 0.015, "a track of 0 to 30 mohm")
_WIRE_SHARES = (0.98, 1.0, 1.04)
_UNKNOWN_WIRE = Band(0.0, 0.07, 0.30, "a wire of 0 to 0.3 ohm")
"""From nothing to 1.4 m of 28 AWG; likely half a metre of 26 (`common practice`)."""

_SWITCH = Band(0.002, 0.020, 0.100, "a switch of 2 to 100 mohm")
"""Transistors that small boards switch heaters and fans with, hot (`common practice`)."""

_GATE = Band(1_000.0, 10_000.0, 100_000.0, "a gate's resistor of 1 to 100 kohm")
_OPTO = Band(200.0, 1_500.0, 10_000.0, "a relay's input of 0.2 to 10 kohm")
"""Inputs of solid-state relays take 5 to 20 mA at 5 to 32 V (`common practice`)."""

_LEAK = Band(3.3e6, 3.3e7, 1e9, "an input of at least 3.3 Mohm")
"""A pin leaks no more than 1 uA at its supply (DS9716 of STM32F401, input leakage current)."""

_OUTPUT = Band(10.0, 25.0, 50.0, "an output of 10 to 50 ohm")
_BRIDGE = Band(0.05, 0.25, 0.6, "a driver's transistor of 0.05 to 0.6 ohm")
_REGULATED_OHM = 1_000.0
_SUPPLY_OHM = 1e-4
_CHIP = Band(20.0, 66.0, 330.0, "a chip of 10 to 165 mA at 3.3 V")

_CLAMP_V, _CLAMP_OHM = 0.6, 10.0
_BODY_V, _BODY_OHM = 0.7, 0.05
"""Drops of silicon diodes in a chip's pins and in power transistors (`common practice`)."""

_FUSE_V = 0.1
"""What a fuse drops at its rating (`common practice` for blade fuses)."""

_HELD = 0.3
"""Volts over its logic that a pull-up counts as one of the part, before a divider."""


def build(assembly: Assembly) -> Network:
    """Return the network of an assembly.

    A cable that joins nothing, and a part without wires, leave no element.
    """
    return _Building(assembly).network()


class _Building(Places):
    def __init__(self, assembly: Assembly) -> None:
        super().__init__(Copper(assembly, canonical))
        self.feeds: Feeds = feeds_of(self.copper)
        self.elements: dict[Key, Element] = {}

    def network(self) -> Network:
        for key in self.copper.nets():
            self._net(key)
        for board in self.assembly.boards:
            self._board(board)
        for number, cable in enumerate(self.assembly.cables):
            for pair in cable.pairs:
                ends = tuple(zip((cable.from_, cable.to), pair, strict=True))
                nodes = [self.pad(*end) for end in ends]
                if nodes[0] and nodes[1]:
                    contacts = [self._contact(*end) for end in ends]
                    what = f"the {{}} from pin {pair[0]} of {'.'.join(cable.from_)}"
                    ohm, wire = self._wire(("wire", number, pair), cable.wire, what, cable.at)
                    self._add(
                        ("conductor", number, pair),
                        "conductor",
                        nodes[0],
                        nodes[1],
                        ohm + CONTACT + CONTACT,
                        carriers=(contacts[0], *wire, contacts[1]),
                    )
        for fit in self.assembly.fits:
            self._fit(fit)
        stars = dict.fromkeys(self.ground(board) for board in self.feeds.boards)
        return Network(self.elements, tuple(stars), dict(self._chains()), self.feeds.unfed)

    def _add(
        self,
        key: Key,
        kind: Kind,
        one: Node,
        two: Node,
        ohm: Band,
        *,
        emf_v: float = 0.0,
        closed: bool = True,
        carriers: tuple[Carrier, ...] = (),
    ) -> None:
        self.elements[key] = Element(key, kind, one, two, ohm, emf_v, closed, carriers=carriers)

    # What a current passes

    def _connector(self, at: tuple[str, str]) -> Connector:
        return self.assembly.boards[at[0]].connectors[at[1]]

    def _contact(self, at: tuple[str, str], pin: int) -> Carrier:
        it = self._connector(at)
        what = f"contact {pin} of {'.'.join(at)}"
        return Carrier(("contact", *at, pin), what, it.contact_a, it.at)

    def _wire(
        self, key: Key, wire: Wire | None, what: str, at: Span | None
    ) -> tuple[Band, tuple[Carrier, ...]]:
        if wire is None:
            return _UNKNOWN_WIRE, ()
        ohm = wire_ohm_m(wire.awg) * wire.length_m
        low, nominal, high = (ohm * share for share in _WIRE_SHARES)
        band = Band(low, nominal, high, "copper of 0.98 to 1.04 of the table")
        return band, (Carrier(key, what.format(f"{wire.awg} AWG wire"), wire, at),)

    def _half(self, key: NetKey) -> tuple[Band, tuple[Carrier, ...]]:
        """Return half of a net's track, and what there is to carry a current on it."""
        net = self.copper.net(key)
        carriers: list[Carrier] = []
        ohm = _HALF_TRACK
        if net.track:
            carriers.append(Carrier(("track", *key), f"the track of {net.name}", net.track, net.at))
            ohm = _half_ohm(net.track) or ohm
        if net.fuse_a:
            carriers.append(Carrier(("fuse", *key), "the fuse", net.fuse_a, net.at))
            ohm += exactly(_FUSE_V / net.fuse_a / 2)
        return ohm, tuple(carriers)

    # Boards

    def _board(self, board: str) -> None:
        star, it = self.ground(board), self.assembly.boards[board]
        for name, connector in it.connectors.items():
            for net in dict.fromkeys(filter(None, connector.pins)):
                ohm, carriers = self._half((board, net))
                pad = Node("pad", board, net, name)
                core = self.core((board, net))
                self._add(("track", board, net, name), "track", core, pad, ohm, carriers=carriers)
        for net, volts in self.feeds.supplies.get(board, {}).items():
            core, carriers = self._from(board, net), tuple[Carrier, ...]()
            ohm = exactly(_SUPPLY_OHM)
            if net in it.nets:
                half, carriers = self._half((board, net))
                ohm = ohm + half if carriers else ohm
            key = ("supply", board, net)
            self._add(key, "supply", star, core, ohm, emf_v=volts, carriers=carriers)
        source = self.feeds.inputs.get(board)
        if source is None:
            return
        input_ = self._from(board, source)
        made = {net: (self.core((board, net)), v) for net, v in self.feeds.made[board].items()}
        if it.chip:
            for volts in {logic_v(it.chip), *self._pull_volts(board)}:
                rail = self.rail(board, volts)
                if rail and rail.kind == "rail" and rail != input_:
                    made[rail.name] = rail, volts
        for name, (node, volts) in made.items():
            self._add(
                ("converter", board, name),
                "converter",
                star,
                node,
                exactly(_SUPPLY_OHM),
                emf_v=volts,
            )
            self._add(("draws", board, name), "draws", input_, star, exactly(1e6))
        if it.chip and (logic := self.rail(board, logic_v(it.chip))):
            self._add(("input", board), "input", logic, star, _CHIP)

    def _from(self, board: str, net: str) -> Node:
        """Return a supply's net, or the rail inside a board whose connectors do not carry it."""
        known = net in self.assembly.boards[board].nets
        return self.core((board, net)) if known else Node("rail", board, net)

    def _pull_volts(self, board: str) -> Iterator[float]:
        for net in self.assembly.boards[board].nets.values():
            yield from (pull.to_v for pull in (net.pullup, net.pulldown) if pull and pull.to_v)

    def _net(self, key: NetKey) -> None:
        net, (board, name) = self.copper.net(key), key
        core, near, ground = self.core(key), self.near(key), self.ground(key[0], key[1])
        if net.divider:
            top, bottom = exactly(net.divider.top_ohm), exactly(net.divider.bottom_ohm)
            self._add(("divider", *key, "top"), "divider", core, near, top)
            self._add(("divider", *key, "bottom"), "divider", near, ground, bottom)
        elif net.switch:
            self._switch(key, net)
        elif net.series_ohm:
            self._add(("series", *key), "series", core, near, exactly(net.series_ohm))
        elif net.driven_by:
            driven = self.core((board, net.driven_by))
            self._add(("joint", *key), "joint", driven, core, _HALF_TRACK)
        for way in ("pullup", "pulldown"):
            if pull := getattr(net, way):
                self._pull(key, net, way, pull)
        if net.amplifier and net.reference_ohm and (rail := self.rail(board, 3.3)):
            self._add(("pull", *key, "bias"), "pull", rail, core, exactly(net.reference_ohm))
        if net.chip_pin:
            self._pin(key, net, near)
        if net.driver:
            self._add(("input", board, name, "coil"), "input", core, ground, _LEAK)
            self._diode(key, "low", ground, core, _BODY_V, _BODY_OHM)
            if vm := self.feeds.inputs.get(board):
                self._diode(key, "high", core, self._from(board, vm), _BODY_V, _BODY_OHM)

    def _diode(self, key: NetKey, of: str, one: Node, two: Node, drop: float, ohm: float) -> None:
        self._add(("diode", *key, of), "diode", one, two, exactly(ohm), emf_v=-drop)

    def _switch(self, key: NetKey, net: Net) -> None:
        assert net.switch
        board, name = key
        side, rds = net.switch.side, net.switch.rds_on_mohm
        ohm = exactly(rds * HOT_FACTOR / 1000) if rds else _SWITCH
        half, carriers = self._half(key)
        core, ground = self.core(key), self.ground(*key)
        volts = net.supply_v or self.assembly.boards[board].supply_v
        switch: Key = ("switch", *key)
        carriers = (*carriers, Carrier(switch, "the switch", net.switch.max_a, net.at))
        if side == "low":
            one, two = core, ground
            self._diode(key, "body", ground, core, _BODY_V, _BODY_OHM)
        else:
            mains, highest = self.assembly.boards[board].mains, self.feeds.inputs.get(board)
            rail = self.rail(board, volts) if volts else None
            if rail is None and highest and not mains:
                rail = self._from(board, highest)
            one, two = rail or Node("rail", board, f"{volts or 0:g} V"), core
            if rail is None and mains and volts:
                beside = ((board, other) for other in self._beside(board, name))
                neutral = next((n for n in beside if self.copper.net(n).is_ground), None)
                minus = self.core(neutral) if neutral else ground
                source = ("supply", board, name)
                self._add(source, "supply", minus, one, exactly(_SUPPLY_OHM), emf_v=volts)
            self._diode(key, "body", core, one, _BODY_V, _BODY_OHM)
        self._add(switch, "switch", one, two, ohm + half, closed=False, carriers=carriers)
        # On a mains board the gate is a light, and what it returns to the input's other pin.
        driving = self.near(key)
        others = self._beside(board, net.driven_by) if self.assembly.boards[board].mains else ()
        for other in others:
            self._add(("gate", *key, other), "gate", driving, self.core((board, other)), _OPTO)
        if not others:
            self._add(("gate", *key), "gate", driving, ground, _GATE)

    def _beside(self, board: str, net: str) -> list[str]:
        """Return the other nets of the connectors that a net stands on."""
        connectors = self.assembly.boards[board].connectors.values()
        beside = (pin for it in connectors if net in it.pins for pin in it.pins if pin != net)
        return list(dict.fromkeys(filter(None, beside)))

    def _pull(self, key: NetKey, net: Net, way: str, pull: PullResistor) -> None:
        rail = self.rail(key[0], pull.to_v)
        chip_ = self.assembly.boards[key[0]].chip
        # A pull-up to more than the chip stands is at the part and feeds the whole divider.
        at_part = net.divider and chip_ and pull.to_v > logic_v(chip_) + _HELD
        node = self.core(key) if at_part else self.near(key)
        if rail:
            share = pull.tolerance_pct / 100
            ohm = Band(pull.ohm * (1 - share), pull.ohm, pull.ohm * (1 + share))
            self._add(("pull", *key, way), "pull", rail, node, ohm)

    def _pin(self, key: NetKey, net: Net, near: Node) -> None:
        board = self.assembly.boards[key[0]]
        star = self.ground(key[0])
        self._add(("input", *key), "input", near, star, _LEAK)
        self._diode(key, "under", star, near, _CLAMP_V, _CLAMP_OHM)
        known = chip(board.chip)
        pin = known.pins.get(canonical(board.chip, net.chip_pin)) if known else None
        logic = self.rail(key[0], logic_v(board.chip))
        if logic is None:
            return
        if pin is None or pin.five_volt != "yes":
            self._diode(key, "over", near, logic, _CLAMP_V, _CLAMP_OHM)
        volts = logic_v(board.chip)
        self._add(("output", *key), "output", star, near, _OUTPUT, emf_v=volts, closed=False)

    # Parts

    def _fit(self, fit: Fit) -> None:
        if fit.connector is None:
            return
        for terminal, wants in enumerate(fit.part.terminals):
            pin = fit.pins[terminal] if terminal < len(fit.pins) else 0
            pad = self.pad(fit.connector, pin)
            if not wants or pad is None:
                continue
            what = f"the {{}} to {fit.name}, terminal {terminal + 1}"
            ohm, wire = self._wire(("wire", fit.name, terminal), fit.wire, what, fit.at)
            ohm = ohm + CONTACT if fit.wire else CONTACT
            self._add(
                ("lead", fit.name, terminal),
                "lead",
                pad,
                Node("terminal", fit.name, str(terminal)),
                ohm,
                carriers=(self._contact(fit.connector, pin), *wire),
            )
        for element in part_elements(fit, self.feeds.usual_v):
            self.elements[element.key] = element
        if fit.part.kind == "motor":
            self._drives(fit)

    def _drives(self, fit: Fit) -> None:
        """Add the regulated current of each driver that the motor's coils hang on."""
        for terminal in range(len(fit.part.terminals)):
            net = self.copper.at_terminal(fit, terminal)
            drives = self.copper.drives(self.copper.node(net)) if net else iter(())
            for drive in drives:
                if not drive.driver:
                    continue
                board, name = drive.driver
                driver = self.assembly.boards[board].drivers.get(name)
                coils = driver.coils if driver else ()
                nets = self.assembly.boards[board].nets
                ends = coils or tuple(n for n, it in nets.items() if it.driver == name)
                amps = fit.part.current_a or (driver and driver.max_a) or 1.0
                star = self.ground(board)
                for coil, (one, two) in enumerate(zip(ends[::2], ends[1::2], strict=False)):
                    out, back = self.core((board, one)), self.core((board, two))
                    key: Key = ("driver", board, name, coil)
                    ohm, emf = exactly(_REGULATED_OHM), amps * _REGULATED_OHM
                    self._add(key, "driver", star, out, ohm, emf_v=emf, closed=False)
                    self._add((*key, "back"), "driver", back, star, _BRIDGE, closed=False)

    def _chains(self) -> Iterator[tuple[Key, frozenset[Key]]]:
        for key in self.copper.nets():
            if self.copper.net(key).switch is None:
                continue
            chain: set[Key] = {("switch", *key)}
            for drive in self.copper.drives(self.copper.node(key)):
                links = drive.links
                if key in links:
                    chain |= {("switch", *n) for n in links if self.copper.net(n).switch}
                    if drive.place:
                        chain.add(("output", *links[0]))
            yield ("switch", *key), frozenset(chain)


def _half_ohm(track: Track) -> Band | None:
    if track.length_mm is None:
        return None
    return exactly(track_ohm(track.width_mm, track.weight_oz, track.length_mm) / 2)

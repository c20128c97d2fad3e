"""Which node each thing of an assembly is at."""

from pincheck.circuit.network import Node
from pincheck.model.wiring import Assembly
from pincheck.wiring.copper import Copper, NetKey


class Places:
    """Finds the node of a net, a ground, a rail or a connector's pin."""

    def __init__(self, copper: Copper) -> None:
        self.assembly: Assembly = copper.assembly
        self.copper = copper

    def ground(self, board: str, beside: str = "") -> Node:
        """Return the ground of a board; without a chip there may be several: the one that `beside`
        is joined to, power's before signals'."""
        if self.assembly.boards[board].chip:
            return Node("star", board)
        nets = self.assembly.boards[board].nets
        grounds = [name for name, net in nets.items() if net.is_ground]
        named = (name for want in ("PGND", "GND") for name in grounds if name.upper() == want)
        first = next(named, grounds[0] if grounds else "")
        return self.core((board, first)) if first else Node("net", board, beside or "GND")

    def core(self, key: NetKey) -> Node:
        """Return the star of a net."""
        board, net = self.assembly.boards[key[0]], self.copper.net(key)
        if net.joined_to:
            return self.core((key[0], net.joined_to))
        if net.is_ground and board.chip and net.joined_to is None:
            return Node("star", key[0])
        return Node("net", *key)

    def near(self, key: NetKey) -> Node:
        """Return a net's side towards the chip."""
        net = self.copper.net(key)
        if net.switch or net.divider or net.series_ohm:
            if net.driven_by:
                return self.core((key[0], net.driven_by))
            return Node("chip", *key)
        return self.core(key)

    def rail(self, board: str, volts: float) -> Node | None:
        """Return where a board has these volts, None where it has them nowhere."""
        if not volts:
            return self.ground(board)
        for name, net in self.assembly.boards[board].nets.items():
            if net.supply_v == volts and net.switch is None:
                return self.core((board, name))
        return Node("rail", board, f"{volts:g} V") if self.assembly.boards[board].chip else None

    def pad(self, at: tuple[str, str], pin: int) -> Node | None:
        key = self.copper.at_pin(at, pin)
        return Node("pad", key[0], key[1], at[1]) if key else None

"""What feeds each board: a supply, converters of its own, a cable, or nothing."""

from collections.abc import Mapping

from pincheck.model.frozen import frozen
from pincheck.model.wiring import Board
from pincheck.wiring.board import INPUTS
from pincheck.wiring.copper import Copper, NetKey


@frozen
class Feeds:
    """By board key: the rails that a supply feeds (`supplies`, net to volts), the rail that its
    converters draw from (`inputs`), and those that they make (`made`). A supply that is on no
    connector has its volts for a name.

    `boards` are those with a supply of their own, the main one first; `unfed` gives the reason for
    a board with a chip that nothing feeds. `usual_v` is the main supply.
    """

    boards: tuple[str, ...]
    supplies: Mapping[str, Mapping[str, float]]
    inputs: Mapping[str, str]
    made: Mapping[str, Mapping[str, float]]
    unfed: Mapping[str, str]
    usual_v: float


def feeds_of(copper: Copper) -> Feeds:
    """Return what feeds the boards of an assembly.

    The main board has the supply. Another one that states a supply is fed over its cables where
    one joins a rail or ground of both, and by itself where it has no chip, as a board with mains;
    with a chip and without such a cable nothing feeds it, unless the assembly lists it as
    `supplied`.
    """
    assembly = copper.assembly
    main = assembly.main or next(iter(assembly.boards), "")
    cabled = set(_cabled(copper))
    own: dict[str, None] = {main: None} if main else {}
    unfed: dict[str, str] = {}
    for key, board in assembly.boards.items():
        if key == main:
            continue
        if key in assembly.supplied or (board.supply_v and key not in cabled and not board.chip):
            own[key] = None
        elif board.chip and key not in cabled:
            label = copper.label(key)
            unfed[key] = f"no cable brings a supply to {label}, and it is not listed as supplied"
        elif board.chip and board.supply_v is None and (net := _without_volts(board)):
            label = copper.label(key)
            reason = f"gives no supply_v: nobody knows what {net} is to carry"
            unfed[key] = f"the file of {label} {reason}"
    rails = {key: _rails(copper, key) for key in assembly.boards}
    supplies: dict[str, dict[str, float]] = {}
    inputs: dict[str, str] = {}
    made: dict[str, dict[str, float]] = {}
    for key, volts in rails.items():
        if not volts:
            continue
        board = assembly.boards[key]
        most, stated = max(volts.values()), board.supply_v or 0.0
        if stated in volts.values():
            most = stated
        at_most = {net: v for net, v in volts.items() if v == most}
        if key in own and board.chip and stated > most:
            at_most = {f"{stated:g} V": stated}  # none of its connectors carries its supply
        inputs[key] = next(iter(at_most))
        fed = [net for net in volts if copper.net((key, net)).fed_here]
        alone = {net: volts[net] for net in fed if not _brought(copper, (key, net))}
        if not board.chip and any(net in at_most for net in alone):
            own[key] = None  # it states its highest rail, and no cable brings it
        if key in own:
            supplies[key] = at_most
        made[key] = {net: v for net, v in alone.items() if net not in at_most}
    usual = max(supplies.get(main, {}).values(), default=24.0)
    return Feeds(tuple(own), supplies, inputs, made, unfed, usual)


def _without_volts(board: Board) -> str:
    """Return a supply input of a board whose volts only its supply_v could tell, else empty."""
    names = (name for name, net in board.nets.items() if net.supply_v is None)
    return next((name for name in names if name.upper() in INPUTS), "")


def _rails(copper: Copper, board: str) -> dict[str, float]:
    nets = copper.assembly.boards[board].nets
    keys = ((board, name) for name in nets)
    return {key[1]: v for key in keys if copper.is_rail(key) and (v := copper.net(key).supply_v)}


def _cabled(copper: Copper) -> list[str]:
    """Return the boards that a cable joins to a rail or ground of another with one of theirs."""
    found: list[str] = []
    for cable in copper.assembly.cables:
        for pair in cable.pairs:
            keys = [
                copper.at_pin(at, n) for at, n in zip((cable.from_, cable.to), pair, strict=True)
            ]
            if all(key and copper.is_rail(key) for key in keys):
                found += [cable.from_[0], cable.to[0]]
                break
    return found


def _brought(copper: Copper, key: NetKey) -> bool:
    """Return whether a board without a chip only names a rail that a cable brings."""
    if copper.assembly.boards[key[0]].chip:
        return False
    volts = copper.net(key).supply_v
    return any(
        other[0] != key[0] and copper.net(other).supply_v == volts
        for other in copper.feeds(copper.node(key))
    )

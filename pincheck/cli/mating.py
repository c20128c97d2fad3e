"""Every way in which a plug can go on wrong, solved: what burns, dies, runs or stays dead."""

import argparse
from typing import TYPE_CHECKING

from pincheck.cli import base

if TYPE_CHECKING:
    from pincheck.model.wiring import Assembly


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "mating", help="show what plugs that go on wrong would do", description=__doc__
    )
    base.add_wiring(parser)
    parser.add_argument("--all", action="store_true", help="every harm, of prevented matings too")
    parser.add_argument(
        "--order",
        metavar="BOARD.CONNECTOR",
        help="propose an order of the pins of this plug, with the proof; takes up to a minute",
    )
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print the matings; 1 where one that nothing prevents can burn or destroy something."""
    from pincheck.analysis.mating.survey import survey

    assembly = base.assembly_of(args)
    if args.order:
        return _order(args, assembly)
    found = survey(assembly)
    if args.json:
        from pincheck.reports import mating_json

        base.put_json(mating_json.record(assembly, found))
    else:
        from pincheck.reports import mating_text

        base.say(mating_text.lines(assembly, found, args.all))
    if found.dangerous:
        return base.FOUND
    unknown = found.left_out or any(it.unsolved for it in found.found)
    return base.NOT_ALL_JUDGED if unknown else base.CLEAN


def _order(args: argparse.Namespace, assembly: "Assembly") -> int:
    """Print a better order of one plug's pins; 1 where there is one."""
    from pincheck.circuit import UnsolvedError
    from pincheck.maker import pin_order_text
    from pincheck.maker.pin_cost import CannotOrderError
    from pincheck.maker.pin_order import pin_order

    board, _, name = args.order.partition(".")
    known = [f"{key}.{it}" for key, on in assembly.boards.items() for it in on.connectors]
    if args.order not in known:
        raise base.CannotCheckError(base.unknown("connector", args.order, known))
    try:
        found = pin_order(assembly, (board, name))
    except (CannotOrderError, UnsolvedError) as error:
        raise base.CannotCheckError(str(error)) from None
    if args.json:
        from pincheck.maker import pin_order_json

        base.put_json(pin_order_json.record(assembly, found))
    else:
        base.say(pin_order_text.lines(found))
    return base.FOUND if found.better != found.pins else base.CLEAN

"""A board file from the netlist of a layout, or held against one."""

import argparse
import json
from collections.abc import Collection
from pathlib import Path

from pincheck.cli import base


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "board", help="make a board file of a netlist, or check one", description=__doc__
    )
    parser.add_argument(
        "--netlist",
        type=Path,
        required=True,
        metavar="FILE",
        help="IPC-D-356 or 356A, or a CSV with the columns net, reference, pin",
    )
    parser.add_argument(
        "--parts",
        type=Path,
        metavar="CSV",
        help="parts list with the columns reference and value: which resistors stand where",
    )
    parser.add_argument(
        "--against", type=Path, metavar="TOML", help="the board file to hold the netlist against"
    )
    parser.add_argument(
        "--connector",
        action="append",
        default=[],
        metavar="J1=NAME",
        help="this part is the connector of that name; once for each",
    )
    parser.add_argument("--name", default="", help="the board's name; else the netlist's own")
    parser.add_argument("--revision", default="", help="the board's revision")
    parser.add_argument(
        "--into", type=Path, metavar="TOML", help="write the board to this new file"
    )
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Make or compare; 1 for differences, 3 where some of the board could not be compared."""
    from pincheck.netlist.read import read_netlist, read_parts

    netlist = read_netlist(args.netlist)
    names = _names(args, netlist.pins)
    parts = read_parts(args.parts) if args.parts else None
    if args.against:
        if args.into:
            raise base.CannotCheckError("--into makes a new board: leave out --against")
        from pincheck.netlist import report
        from pincheck.wiring import load_board

        found = report.board_report(
            netlist, load_board(args.against), args.against.name, names, parts
        )
        if args.json:
            base.put([json.dumps(report.record(found), indent=2) + "\n"])
        else:
            base.say(report.lines(found))
        if found.differences:
            return base.FOUND
        return base.NOT_ALL_JUDGED if found.unchecked else base.CLEAN
    if args.json:
        raise base.CannotCheckError("--json tells differences: name the board file with --against")
    from pincheck.netlist.make import make

    name = args.name or netlist.job or args.netlist.stem
    made = make(netlist, names, parts or {}, name, args.revision)
    if args.into:
        from pincheck.writing.change import FileChange
        from pincheck.writing.write import write

        base.mend(args.into.parent)
        path = args.into.parent.resolve() / args.into.name
        write([FileChange(path, args.into.name, None, made.text.encode())])
        count = len(made.board.connectors)
        base.say([f"written: {args.into.name}, {count} connectors, {len(made.board.nets)} nets"])
    else:
        base.put([made.text])
    for said in made.notes:
        base.note(said)
    return base.CLEAN


def _names(args: argparse.Namespace, references: Collection[str]) -> dict[str, str]:
    names: dict[str, str] = {}
    for given in args.connector:
        reference, is_, name = given.partition("=")
        if not (reference and is_ and name):
            raise base.CannotCheckError(f"--connector {given}: write J1=toolhead, say")
        if reference not in references:
            raise base.CannotCheckError(base.unknown("part in the netlist", reference, references))
        if name in names.values() or reference in names:
            raise base.CannotCheckError(f"--connector {given}: given twice")
        names[reference] = name
    return names

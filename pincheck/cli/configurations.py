"""What changed between two configurations, without any wiring."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from pincheck.cli import base

if TYPE_CHECKING:
    from pincheck.claims import Words
    from pincheck.compare.configurations import Side
    from pincheck.intake import Machine
    from pincheck.model.wiring import Assembly


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "configurations", help="compare two configurations", description=__doc__
    )
    for name in ("before", "after"):
        what = "file, folder or archive of one machine"
        parser.add_argument(name, type=Path, metavar=name.upper(), help=what)
    parser.add_argument(
        "--board",
        type=Path,
        metavar="TOML",
        help="the mainboard's file: explains its own pin names and its stock pins",
    )
    parser.add_argument(
        "-w", "--wiring", type=Path, metavar="TOML", help="an assembly: explains all chips' names"
    )
    base.add_main(parser)
    base.add_words(parser)
    parser.add_argument("--all", action="store_true", help="list what is the same as well")
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Compare, print, and return the exit code: 1 where they differ, 2 where that stays open."""
    from pincheck.compare import configuration_report
    from pincheck.compare.configurations import compare_configurations

    assembly = _assembly(args)
    words = base.vocabularies_of(args)
    (before, one), (after, two) = (
        _side(path, base.load(args, path), assembly, words) for path in (args.before, args.after)
    )
    found = compare_configurations(before, after)
    if args.json:
        base.put_json(configuration_report.record(found))
    else:
        base.say(configuration_report.lines(found, everything=args.all))
    if found.differs:
        return base.FOUND
    return base.CLEAN if one and two and not found.open else base.COULD_NOT_CHECK


def _assembly(args: argparse.Namespace) -> "Assembly | None":
    from pincheck import api
    from pincheck.model.wiring import Assembly
    from pincheck.wiring import load_board

    if args.wiring:
        return api.load_wiring(args.wiring)
    if args.board:
        return Assembly("", {"main": load_board(args.board)})
    return None


def _side(
    path: Path, machine: "Machine", assembly: "Assembly | None", words: "Words"
) -> "tuple[Side, bool]":
    """Return one side, and whether all of it could be read."""
    from pincheck import api
    from pincheck.compare.configurations import Side

    vocabulary = words.get(machine.style) or api.load_words(machine.style)
    claims, problems = api.claims(machine, assembly, vocabulary)
    base.complain(problems)
    side = Side(path.name, claims, vocabulary, assembly is not None)
    return side, not any(problem.fatal for problem in problems)

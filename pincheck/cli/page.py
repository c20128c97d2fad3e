"""One self-contained HTML file for a revision: connectors, ratings, dangers, references."""

import argparse
from pathlib import Path

from pincheck.cli import base


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "page", help="write a revision's page, to read and to print", description=__doc__
    )
    base.add_wiring(parser)
    parser.add_argument(
        "--before", type=Path, metavar="TOML", help="the assembly that this one replaces"
    )
    parser.add_argument("--into", type=Path, metavar="HTML", help="write it to this file")


def run(args: argparse.Namespace) -> int:
    """Write or print the page; 1 where the wiring itself is wrong, which its head says."""
    from pincheck import api
    from pincheck.revision_page import revision_page
    from pincheck.writing.output import put

    assembly = base.assembly_of(args)
    before = api.load_wiring(args.before) if args.before else None
    text = revision_page(assembly, before)
    if args.into:
        put(args.into, [text])
        base.say([f"written: {args.into.name}"])
    else:
        base.put([text])
    if faults := api.trace(assembly).faults:
        base.note(f"the wiring itself is wrong: {faults[0].message}")
        return base.FOUND
    return base.CLEAN

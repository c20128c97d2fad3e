"""The chips that board files can name, searched by words; of one alone, every pin."""

import argparse

from pincheck.cli import base


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "chips", help="list and search the known chips", description=__doc__
    )
    parser.add_argument("words", nargs="*", metavar="WORD", help="an order code, or a part of it")
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print what is found and return the exit code."""
    from pincheck.chips import suggestions
    from pincheck.reports import catalogue

    found = catalogue.chips_holding(args.words)
    if not found:
        near = suggestions("".join(args.words))
        hint = f"did you mean {', '.join(near)}?" if near else "`pincheck chips` lists all"
        raise base.CannotCheckError(f"no chip is called {' '.join(args.words)!r}; {hint}")
    if args.json:
        base.put_json(catalogue.chip_records(found))
    else:
        base.say(catalogue.chip_lines(found))
    return base.CLEAN

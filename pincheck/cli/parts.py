"""The parts that an assembly can fit, searched by words, with their figures."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from pincheck.cli import base

if TYPE_CHECKING:
    from pincheck.model.wiring import Part


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "parts", help="list and search the catalogue of parts", description=__doc__
    )
    parser.add_argument(
        "words", nargs="*", metavar="WORD", help="24V, fan, pt1000, ...; all of them must be there"
    )
    parser.add_argument(
        "--file",
        type=Path,
        metavar="TOML",
        help="your own parts file in place of the built-in one",
    )
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print what is found and return the exit code."""
    from pincheck.model.nearest import nearest
    from pincheck.reports import catalogue

    parts = _parts(args.file)
    found = catalogue.parts_holding(args.words, parts)
    if not found:
        near = nearest("-".join(args.words), (part.id for part in parts))
        hint = f"did you mean {near}?" if near else "`pincheck parts` lists all"
        raise base.CannotCheckError(f"no part holds all of {' '.join(args.words)!r}; {hint}")
    if args.json:
        base.put_json(catalogue.part_records(found))
    else:
        base.say(catalogue.part_lines(found))
    return base.CLEAN


def _parts(file: Path | None) -> "tuple[Part, ...]":
    from pincheck.wiring.parts import built_in, load_parts

    return tuple((load_parts(file) if file else built_in()[0]).values())

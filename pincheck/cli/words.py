"""The key names that are understood, of a style or of the wiring files."""

import argparse
from collections.abc import Iterator

from pincheck.cli import base
from pincheck.model.setting import STYLES

WIRING = "wiring"


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "words", help="list the key names that are understood", description=__doc__
    )
    parser.add_argument("subject", choices=(*STYLES, WIRING))
    base.add_words(parser)


def run(args: argparse.Namespace) -> int:
    """Print the names and return the exit code."""
    from pincheck import api

    if args.subject == WIRING:
        base.say(_wiring())
        return base.CLEAN
    for entry in api.load_words(args.subject, *args.words).entries:
        name = f"[{entry.section}] {entry.key}" if entry.section else entry.key
        what = f"{entry.role} {entry.attribute or entry.figure}" if entry.role else entry.link
        base.say([f"{name:<58} {what.strip()}"])
    return base.CLEAN


def _wiring() -> Iterator[str]:
    from pincheck.model.role import FUNCTIONS
    from pincheck.wiring.schema import TABLES

    for title, keys in TABLES.items():
        yield title
        for name, field in keys.items():
            if field.expected or not field.keys:
                needed = " (needed)" if field.needed else ""
                yield f"  {name:<20} {field.expected}{needed}"
            for inner, part in field.keys.items():
                needed = " (needed)" if part.needed else ""
                yield f"    .{inner:<17} {part.expected}{needed}"
        yield ""
    yield "roles (a number behind the group for the second and further ones: hotend1.heater)"
    for group, functions in FUNCTIONS.items():
        yield f"  {', '.join(f'{group}.{function}' for function in functions)}"

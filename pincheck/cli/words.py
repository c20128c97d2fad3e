"""`words`: the key names that are understood, a fork's own ones included."""

import argparse
from pathlib import Path

from pincheck.cli import base
from pincheck.model.setting import STYLES


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "words", help="list the key names that are understood", description=__doc__
    )
    parser.add_argument("style", choices=STYLES)
    parser.add_argument(
        "--words",
        action="append",
        type=Path,
        default=[],
        metavar="TOML",
        help="key names of a firmware fork, added to the built-in ones",
    )


def run(args: argparse.Namespace) -> int:
    """Print the vocabulary and return the exit code."""
    from pincheck import api

    for entry in api.load_words(args.style, *args.words).entries:
        name = f"[{entry.section}] {entry.key}" if entry.section else entry.key
        what = f"{entry.role} {entry.attribute or entry.figure}" if entry.role else entry.link
        base.say([f"{name:<58} {what.strip()}"])
    return base.CLEAN

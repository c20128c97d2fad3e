"""The key names that are understood, of a style or of the wiring files."""

import argparse
from collections.abc import Iterator
from itertools import groupby

from pincheck.cli import base
from pincheck.model.setting import STYLES

WIRING = "wiring"

_Word = tuple[str, str, str, bool]
"""Table, key, what it says, and whether the table is of no use without it."""


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "words", help="list the key names that are understood", description=__doc__
    )
    parser.add_argument("subject", choices=(*STYLES, WIRING))
    base.add_words(parser)
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print the names and return the exit code."""
    wiring = args.subject == WIRING
    words = tuple(_wiring() if wiring else _style(args))
    if args.json:
        keys = ("table", "key", "says", "needed")
        entries = [dict(zip(keys, word, strict=True)) for word in words]
        base.put_json({"schema_version": 1, "subject": args.subject, "entries": entries})
    elif wiring:
        base.say(_tables(words))
    else:
        for table, key, says, _ in words:
            name = f"[{table}] {key}" if table else key
            base.say([f"{name:<58} {says}"])
    return base.CLEAN


def _style(args: argparse.Namespace) -> Iterator[_Word]:
    from pincheck import api

    for entry in api.load_words(args.subject, *args.words).entries:
        what = f"{entry.role} {entry.attribute or entry.figure}" if entry.role else entry.link
        yield entry.section, entry.key, what.strip(), False


def _wiring() -> Iterator[_Word]:
    from pincheck.wiring.schema import TABLES

    for title, keys in TABLES.items():
        if not keys:
            yield title, "", "", False
        for name, field in keys.items():
            if field.expected or not field.keys:
                yield title, name, field.expected, field.needed
            for inner, part in field.keys.items():
                yield title, f"{name}.{inner}", part.expected, part.needed


def _tables(words: tuple[_Word, ...]) -> Iterator[str]:
    from pincheck.model.role import FUNCTIONS

    for title, keys in groupby(words, lambda word: word[0]):
        yield title
        for _, name, says, needed in keys:
            _, dot, inner = name.partition(".")
            key = f"    .{inner:<17}" if dot else f"  {name:<20}"
            if name:
                yield f"{key} {says}{' (needed)' * needed}"
        yield ""
    yield "roles (a number behind the group for the second and further ones: hotend1.heater)"
    for group, functions in FUNCTIONS.items():
        yield f"  {', '.join(f'{group}.{function}' for function in functions)}"

"""The whole job at the bench, in the terminal."""

import argparse
import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from pincheck.cli import base

if TYPE_CHECKING:
    from pincheck.screen.engine import DiskEngine
    from pincheck.screen.themes import Colours

COLOURS = ("dark", "light", "none")


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "screen", help="look, understand, edit and measure in the terminal", description=__doc__
    )
    base.add_configuration(parser)
    parser.add_argument(
        "--colours",
        choices=COLOURS,
        help="dark, light or none; without it the terminal decides, NO_COLOR is honoured",
    )
    parser.add_argument("--ascii", action="store_true", help="draw with plain ASCII only")
    parser.add_argument("--no-animation", action="store_true", help="nothing moves by itself")


def run(args: argparse.Namespace) -> int:
    """Open the screen and return the exit code."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        message = "the screen needs a terminal; `pincheck check` prints the same answer as text"
        raise base.CannotCheckError(message)
    # Exported by some shells, these would hide every later change of the terminal's size.
    for name in ("COLUMNS", "LINES"):
        os.environ.pop(name, None)
    with _engine(args) as engine:
        from pincheck.screen.app import PincheckApp

        PincheckApp(
            engine,
            args.colours or _colours(),
            ascii_only=args.ascii or not _draws_lines(),
            still=args.no_animation,
        ).run()
    return base.CLEAN


@contextmanager
def _engine(args: argparse.Namespace) -> Iterator["DiskEngine"]:
    """Yield the engine over the files that the arguments name; the demo's as a copy.

    Raises:
        CannotCheckError: wiring or configuration was not named, or comes from a pipe.
    """
    from pincheck.resources import folder
    from pincheck.screen.engine import DiskEngine

    wiring = base.wiring_of(args)
    if base.STANDARD_INPUT in map(str, args.configuration):
        raise base.CannotCheckError("the screen cannot read standard input; name a file or folder")
    if args.configuration:
        taken = args.style, tuple(args.words), args.main, tuple(args.follow)
        yield DiskEngine(tuple(args.configuration), wiring, *taken)
    elif args.demo:
        # Edits are there to be tried, and the installed demo must stay as it is.
        with TemporaryDirectory(prefix="pincheck-") as scratch:
            style = args.style or base.DEMO_STYLE
            copied = Path(scratch) / f"demo-{style}"
            shutil.copytree(folder("configs") / "planted" / style, copied)
            yield DiskEngine((copied,), wiring, args.style, tuple(args.words))
    else:
        raise base.CannotCheckError("which configuration? name its files or folder, or use --demo")


def _colours() -> "Colours":
    if os.environ.get("NO_COLOR") or not _terminal_has_colours():
        return "none"
    # Terminals that set COLORFGBG give their colours as "foreground;background", 7 and 15 white.
    ground = os.environ.get("COLORFGBG", "").rpartition(";")[2]
    return "light" if ground in ("7", "15") else "dark"


def _terminal_has_colours() -> bool:
    try:
        import curses

        curses.setupterm()
        return curses.tigetnum("colors") > 2
    except (ImportError, curses.error):
        return os.environ.get("TERM") not in ("dumb", "vt100", "vt220")


def _draws_lines() -> bool:
    return "utf" in (sys.stdout.encoding or "").lower()

"""The command line: parses, dispatches, turns every failure into a sentence and an exit code."""

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from pincheck.cli import base, progress
from pincheck.cli.base import COULD_NOT_CHECK, CannotCheckError, complain
from pincheck.model.problem import UnreadableError
from pincheck.writing.change import WriteRefusedError

COMMANDS = (
    "new",
    "check",
    "screen",
    "walk",
    "edits",
    "trace",
    "board",
    "page",
    "production",
    "claims",
    "rules",
    "why",
    "figures",
    "words",
    "parts",
    "chips",
    "mating",
    "reference",
    "revisions",
    "configurations",
    "draft",
    "release",
    "desk",
    "completion",
    "manual",
)
"""The modules of this folder that are commands, in the order of the help text."""

_LIVE = ("screen", "walk", "new", "desk")
"""Commands that show by themselves that they are at work."""

EPILOG = """typical commands:
  pincheck check --demo                        a report, with no file of yours
  pincheck new machine/wiring                  describe your wiring, by answers
  pincheck check machine/ -w marsh-230-c.toml  your configuration and wiring
  pincheck edits machine/ -w marsh-230-c.toml  the changes, to look at first

exit code: 0 nothing found, 1 findings at or above the chosen severity, 2 could
not check, 3 nothing found, but not every heater, its sensor, limit, protection
and fan could be judged.
Agreement on paper is no proof: power off and unplug before you measure or
re-plug."""


def parser(names: Sequence[str] = COMMANDS) -> argparse.ArgumentParser:
    """Return the parser of the whole command line, or of these commands alone."""
    whole = base.Parser(
        prog="pincheck",
        description="Checks a 3D printer's firmware configuration against the real wiring of its\n"
        "tool head before power-on.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    whole.add_argument(
        "--version", action=base.ShowVersion, nargs=0, help="print the version and leave"
    )
    commands = whole.add_subparsers(
        # Else argparse builds the usage line to find out, and loads four compression libraries.
        prog=whole.prog,
        dest="command",
        required=True,
        metavar="COMMAND",
    )
    for name in names:
        import_module(f"pincheck.cli.{name}").add(commands)
    return whole


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    words = sys.argv[1:] if argv is None else argv
    # Only the command asked for is loaded: most of the time of a short command is loading.
    asked = [name for name in words[:1] if name in COMMANDS]
    if not words:
        parser().print_help(sys.stderr)
        return COULD_NOT_CHECK
    try:
        if not asked and not words[0].startswith("-"):
            parser().error(base.unknown("command", words[0], COMMANDS))
        args = parser(asked or COMMANDS).parse_args(words)
    except SystemExit as leaving:
        return COULD_NOT_CHECK if leaving.code else 0
    try:
        if args.command not in _LIVE:
            progress.begin(args.command)
        return int(import_module(f"pincheck.cli.{args.command}").run(args))
    except UnreadableError as error:
        complain(error.problems)
    except BrokenPipeError:
        raise
    except (CannotCheckError, WriteRefusedError, OSError) as error:
        base.failed(error)
    finally:
        progress.end()
    return COULD_NOT_CHECK


def entry() -> None:
    """Run as a program: no traceback on Ctrl-C or a closed pipe, no surprise on odd terminals."""
    # Loading makes many objects and hardly any garbage: a check would spend a tenth of its time
    # on collecting, most of that at its very end. A check makes 75,000 objects that stay.
    gc.set_threshold(200_000)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    code = COULD_NOT_CHECK
    try:
        code = main()
        sys.stdout.flush()
    except BrokenPipeError:
        base.discard_output()
    except KeyboardInterrupt as stopped:
        code = 130
        if str(stopped):
            base.note(f"pincheck: {stopped}")
    except Exception as error:
        print(f"pincheck: internal error, nothing was decided: {error!r}", file=sys.stderr)
        if os.environ.get("PINCHECK_TRACEBACK"):
            raise
        code = COULD_NOT_CHECK
    gc.freeze()
    sys.exit(code)

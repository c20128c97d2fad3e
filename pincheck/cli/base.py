"""What every command shares: its inputs as arguments, its way out, its exit codes."""

import argparse
import difflib
import os
import re
import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pincheck.cli import progress
from pincheck.model import limits
from pincheck.model.printable import MOST_SAID, cut, printable_lines
from pincheck.model.setting import STYLES, StyleName

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

    from pincheck.claims import Vocabulary, Words
    from pincheck.intake import Machine
    from pincheck.model.finding import Result, Severity
    from pincheck.model.problem import Problem
    from pincheck.model.wiring import Assembly
    from pincheck.reports.text import Ink

CLEAN, FOUND, COULD_NOT_CHECK, NOT_ALL_JUDGED = 0, 1, 2, 3
STANDARD_INPUT = "-"
DEMO_WIRING = "marsh-230-c.toml"
DEMO_STYLE = "section"
_SHOWN = 5
"""Assemblies named where one has to be chosen."""


class CannotCheckError(Exception):
    """Ends a command with exit code 2; the message is for the user."""


def add_wiring(parser: argparse.ArgumentParser) -> None:
    """Declare the wiring argument and the demo in its place."""
    parser.add_argument(
        "-w",
        "--wiring",
        type=Path,
        metavar="TOML",
        help="the assembly's file; without it the only one in or beside the configuration",
    )
    parser.add_argument("--demo", action="store_true", help="use the demo machine's files")


def add_configuration(parser: argparse.ArgumentParser) -> None:
    """Declare the configuration, its style and a fork's words."""
    parser.add_argument(
        "configuration",
        nargs="*",
        type=Path,
        metavar="CONFIG",
        help="files, a folder or an archive of one machine; - reads standard input",
    )
    add_wiring(parser)
    add_intake(parser)
    add_words(parser)


def add_intake(parser: argparse.ArgumentParser) -> None:
    """Declare how a configuration is taken in."""
    parser.add_argument("--style", choices=STYLES, help="take this style, whatever the content")
    add_main(parser)


def add_main(parser: argparse.ArgumentParser) -> None:
    """Declare which of its files is the main one, and where links may lead."""
    parser.add_argument(
        "--main", default="", metavar="FILE", help="the file where reading starts, among several"
    )
    parser.add_argument(
        "--follow",
        action="append",
        type=Path,
        default=[],
        metavar="LINKROOT",
        help="a further folder that links may lead into",
    )


def add_words(parser: argparse.ArgumentParser) -> None:
    """Declare a fork's words."""
    parser.add_argument(
        "--words",
        action="append",
        type=Path,
        default=[],
        metavar="TOML",
        help="key names of a firmware fork, added to the built-in ones",
    )


def add_json(parser: argparse.ArgumentParser) -> None:
    """Declare JSON output."""
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def assembly_of(args: argparse.Namespace) -> "Assembly":
    """Load the wiring that the arguments name.

    Raises:
        CannotCheckError: none was named.
        UnreadableError: it has mistakes.
    """
    from pincheck import api

    file = wiring_of(args)
    if args.wiring:
        mend(file)
    return api.load_wiring(file)


def wiring_of(args: argparse.Namespace) -> Path:
    """Return the assembly's file that the arguments name, else the only one in or beside what
    they name; that one is told and from then on counts as named.

    Raises:
        CannotCheckError: none was named, and none or several lie there.
    """
    if args.demo and not args.wiring:
        from pincheck.resources import folder

        return folder("configs") / DEMO_WIRING
    if not args.wiring:
        found = wirings_near(args)
        if not found:
            if getattr(args, "configuration", ()):
                machine_of(args)  # where it is not there, that comes first
            raise CannotCheckError(
                "which wiring? none lies here: name the assembly's file, --wiring assembly.toml, "
                "or write one: pincheck new"
            )
        if len(found) > 1:
            names = ", ".join(map(str, found[:_SHOWN])) + ", ..." * (len(found) > _SHOWN)
            raise CannotCheckError(
                f"which wiring? there are {len(found)}: {names}; choose one: --wiring {found[0]}"
            )
        args.wiring = found[0]
        note(f"pincheck: wiring taken from {args.wiring}, for it is the only one here")
    return Path(args.wiring)


def wirings_near(args: argparse.Namespace) -> tuple[Path, ...]:
    """Return the assemblies in and beside what the arguments name, else in the present folder."""
    from pincheck.wiring.load import assemblies_near

    given = [path for path in getattr(args, "configuration", ()) if str(path) != STANDARD_INPUT]
    first = given[0] if given else Path()
    found = assemblies_near(first if first.is_dir() else first.parent)
    named = tuple(Path(os.path.relpath(file)) for file in found)
    return named if given else tuple(file for file in named if os.pardir not in file.parts)


def machine_of(args: argparse.Namespace) -> "Machine":
    """Take in the configuration that the arguments name.

    Raises:
        CannotCheckError: none was named.
        UnreadableError: there is none, or more than one machine, in what was named.
    """
    from pincheck import api

    if args.demo and not args.configuration:
        return api.load_configuration(api.demo("planted") / (args.style or DEMO_STYLE))
    if not args.configuration:
        raise CannotCheckError("which configuration? name its files or folder, or use --demo")
    if [str(path) for path in args.configuration] == [STANDARD_INPUT]:
        return api.load_configuration_bytes(_standard_input(), style=args.style, main=args.main)
    return load(args, *args.configuration)


def load(args: argparse.Namespace, *paths: Path) -> "Machine":
    """Take in a configuration as the arguments say.

    Raises:
        UnreadableError: there is none, or more than one machine, in it.
    """
    from pincheck import api

    style = getattr(args, "style", None)
    return api.load_configuration(*paths, style=style, main=args.main, follow=args.follow)


def code_of(result: "Result", at_least: "Severity | None" = None) -> int:
    """Return the exit code for a check.

    A clean one wants that every heater, its sensor, limits and protection, and the hot-end fan
    were really judged.
    """
    if any(at_least is None or finding.severity >= at_least for finding in result.findings):
        return FOUND
    compared = any(it.state != "not checked" or it.so_far for it in result.verdicts)
    unread = any(problem.fatal for problem in result.problems)
    if unread or not compared:
        return COULD_NOT_CHECK
    return NOT_ALL_JUDGED if result.unjudged else CLEAN


def mend(*paths: Path) -> None:
    """Finish or undo what a killed command left in these folders, and say so.

    Raises:
        WriteRefusedError: it cannot be mended.
    """
    from pincheck.writing.mend import mend as mended

    for said in mended(path for path in paths if path.exists()):
        note(f"pincheck: {said}")


def require_read(result: "Result") -> None:
    """Refuse to write a machine of which a file, or the rest of one, could not be used.

    Raises:
        CannotCheckError: nothing may be written; what was not read could say otherwise.
    """
    unread = next((problem for problem in result.problems if problem.fatal), None)
    if unread:
        raise CannotCheckError(f"nothing was written: {unread.file} could not be read as a whole")


def require_role(asked: str, known: Sequence[str], missing: str, there: str) -> None:
    """Refuse a role that is none of those known; `missing` and `there` word the sentence.

    Only an unknown word is taken for a slip of the pen: a right role is meant as it stands.

    Raises:
        CannotCheckError: it is none of them.
    """
    from pincheck.model.role import is_role

    if asked in known:
        return
    near = [] if is_role(asked) else difflib.get_close_matches(asked, known, 1)
    hint = f"did you mean {near[0]}?" if near else f"{there} {', '.join(known) or 'none'}"
    raise CannotCheckError(f"{missing} {asked!r}; {hint}")


def _standard_input() -> bytes:
    """Read what is piped in, as far as a machine's configuration can go."""
    return sys.stdin.buffer.read(limits.ARCHIVE_BYTES + 1)


def vocabulary_of(args: argparse.Namespace, style: StyleName) -> "Vocabulary | None":
    """Load the vocabulary with the fork's words that the arguments name; None without any."""
    from pincheck import api

    return api.load_words(style, *args.words) if args.words else None


def vocabularies_of(args: argparse.Namespace) -> "Words":
    """Load the fork's words that the arguments name, by the style each file states.

    Empty without any: the built-in ones hold.
    """
    from pincheck import api

    return api.load_words_of_all(*args.words) if args.words else {}


def ink() -> "Ink":
    """Return colour for a terminal that wants it (https://no-color.org is honoured)."""
    from pincheck.reports.text import Ink

    wanted = sys.stdout.isatty() and not os.environ.get("NO_COLOR")
    return Ink(colour=wanted and os.environ.get("TERM") != "dumb")


class Parser(argparse.ArgumentParser):
    """A parser that repeats nobody's control characters back to the terminal.

    What a command does not know ends in that command's own usage, with the nearest option.
    """

    def __init__(self, **options: Any) -> None:
        # Left to ask for the width itself, `argparse` loads four compression libraries.
        form = options.pop("formatter_class", argparse.HelpFormatter)
        super().__init__(formatter_class=partial(form, width=columns() - 2), **options)

    def parse_known_args(  # type: ignore[override]
        self,
        args: Sequence[str] | None = None,
        namespace: argparse.Namespace | None = None,
    ) -> tuple[argparse.Namespace, list[str]]:
        found, rest = super().parse_known_args(args, namespace)
        if options := [word.partition("=")[0] for word in rest if word.startswith("-")]:
            self.error(unknown("option", options[0], self._option_string_actions))
        if rest:
            self.error(f"one argument too many: {cut(rest[0], 80)}")
        return found, rest

    def _print_message(self, message: str, file: "SupportsWrite[str] | None" = None) -> None:
        super()._print_message(printable_lines(cut(message, 5 * MOST_SAID)), file)


def parsers(whole: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    """Yield the parser of the command line, then that of each command."""
    yield whole
    for action in whole._actions:
        if isinstance(action, argparse._SubParsersAction):
            yield from action.choices.values()


class ShowVersion(argparse.Action):
    """Prints the version; `argparse`'s own action wants it before anybody asks."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        """Print and leave."""
        from importlib.metadata import version

        put([f"pincheck {version('pincheck')}\n"])
        parser.exit()


def columns() -> int:
    """Return the terminal's width, as COLUMNS states it where that is set; 80 for none."""
    with suppress(OSError, ValueError):
        stated = int(os.environ.get("COLUMNS") or 0)
        return stated if stated > 0 else os.get_terminal_size().columns or 80
    return 80


def unknown(what: str, word: str, known: Iterable[str]) -> str:
    """Return the sentence for a word that is none of those known, with the nearest of them."""
    near = difflib.get_close_matches(word, list(known), 1)
    return f"there is no {what} {cut(word, 80)}" + (f"; did you mean {near[0]}?" if near else "")


def say(lines: Iterable[str]) -> None:
    """Print lines to standard output, everything unsafe to show escaped but our own colour."""
    put(f"{_shown(line)}\n" for line in lines)


def put(texts: Iterable[str]) -> None:
    """Write texts to standard output; once nobody reads it any more, to nowhere.

    A command whose reader has gone finishes what it was asked for and keeps its exit code.

    Raises:
        CannotCheckError: what was to be shown finds no place.
    """
    try:
        for text in texts:
            progress.end()
            sys.stdout.write(text)
    except BrokenPipeError:
        discard_output()
    except OSError as error:
        discard_output()
        raise CannotCheckError(f"standard output: {error.strerror or error}") from None


def put_json(record: object) -> None:
    """Write one JSON document to standard output."""
    import json

    put([json.dumps(record, indent=2) + "\n"])


def discard_output() -> None:
    """Send to nowhere what standard output still holds and all that follows."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def note(message: str) -> None:
    """Print a remark to standard error, cut where no person would read on."""
    progress.end()
    print(printable_lines(cut(message, MOST_SAID)), file=sys.stderr)


def failed(error: Exception) -> None:
    """Print why a command could not do its work, with the file that the system names."""
    said = str(error)
    if isinstance(error, OSError) and error.filename and error.strerror:
        said = f"{os.fspath(error.filename)!s}: {error.strerror}"
    note(f"pincheck: {said}")


def _shown(line: str) -> str:
    if "\x1b" not in line or not ink().colour:
        return printable_lines(line)
    # Of the pieces that the expression cuts the line into, every second one is a colour.
    pieces = _COLOUR.split(line)
    return "".join(p if at % 2 else printable_lines(p) for at, p in enumerate(pieces))


_COLOUR = re.compile("(\x1b\\[(?:0|1|2|33|32|1;31)m)")


def complain(problems: "Iterable[Problem]") -> None:
    """Print problems to standard error."""
    from pincheck.reports.text import problem_lines

    for problem in problems:
        progress.end()
        sys.stderr.writelines(f"{line}\n" for line in problem_lines(problem))

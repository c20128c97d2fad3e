"""The walk to the first power-on without the screen: what to measure, to expect, and what it means.

Exit code: 0 every step was done and is as it should be, 1 a danger is open or a reading is wrong,
2 could not check, 3 nothing is wrong, but steps are open.
"""

import argparse
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from pincheck.cli import base
from pincheck.model.finding import Severity

if TYPE_CHECKING:
    from pincheck.bench.by_port import Machine
    from pincheck.bench.record import WalkRecord
    from pincheck.model.finding import Result


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "walk",
        help="walk to the first power-on, asked line by line",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    base.add_configuration(parser)
    what = parser.add_mutually_exclusive_group()
    parser.add_argument(
        "--keep", type=Path, metavar="FILE", help="keep readings here, not beside the wiring"
    )
    parser.add_argument(
        "--readings", type=Path, metavar="FILE", help="ask nothing, judge a file of readings"
    )
    what.add_argument(
        "--sheet",
        choices=("text", "markdown", "html"),
        help="ask nothing, print the walk as a sheet to fill in; without a configuration for the "
        "reference of --style",
    )
    what.add_argument(
        "--json", action="store_true", help="ask nothing, print what is kept as one JSON document"
    )
    parser.add_argument(
        "--port", metavar="DEVICE", help="ask the machine itself at this serial port"
    )
    parser.add_argument("--baud", type=int, default=115200, help="its speed (default: %(default)s)")


def run(args: argparse.Namespace) -> int:
    """Walk, judge or print, and return the exit code."""
    from pincheck.bench import readings
    from pincheck.bench.document import document
    from pincheck.bench.record import WalkRecord

    if args.readings and not args.readings.exists():
        raise base.CannotCheckError(f"there is no file {args.readings}")
    result = _result(args)
    if args.sheet:
        return _sheet(WalkRecord(result), args.sheet)
    file = args.readings or args.keep or readings.beside(base.wiring_of(args))
    record = WalkRecord(result, file)
    if file:
        known = tuple(step.id for step in record.all_steps)
        base.complain(readings.unknown(record.answers, known, file.name))
    if args.json:
        base.put([document(record)])
    elif args.readings:
        _print(record)
    else:
        _walk(record, args)
    return _code(record)


def _result(args: argparse.Namespace) -> "Result":
    """Check the configuration that is named, or for a sheet the reference of a style."""
    from pincheck import api

    assembly = base.assembly_of(args)
    if args.sheet and args.style and not args.configuration:
        from pincheck.maker.reference import reference
        from pincheck.maker.want import CannotExpressError

        words = base.vocabulary_of(args, args.style)
        try:
            machine = reference(assembly, args.style, words).machine
        except CannotExpressError as error:
            raise base.CannotCheckError(f"no reference, so no sheet: {error}") from None
    else:
        machine = base.machine_of(args)
        words = base.vocabulary_of(args, machine.style)
    return api.check(machine, assembly, words)


def _sheet(record: "WalkRecord", form: str) -> int:
    """Print a sheet; 1 where it has to end before power."""
    if form == "html":
        from pincheck.bench.sheet_page import page

        base.put([page(record)])
    else:
        from pincheck.bench import sheet

        base.say(sheet.text(record) if form == "text" else sheet.markdown(record))
    return base.FOUND if record.stops else base.CLEAN


def _print(record: "WalkRecord") -> None:
    from pincheck.bench.text import text
    from pincheck.reports.text import wrap

    for line in text(record):
        indent = line[: len(line) - len(line.lstrip())]
        base.say(wrap(line.strip(), indent) if line else [""])


def _walk(record: "WalkRecord", args: argparse.Namespace) -> None:
    from pincheck.bench.dialogue import by_line

    person = _Terminal()
    try:
        if args.port:
            by_line(record, person, _machine(record, person, args))
        else:
            by_line(record, person)
    except KeyboardInterrupt:
        kept = f"readings are kept in {record.file}" if record.file else "readings were not kept"
        raise KeyboardInterrupt(f"left; {kept}") from None


def _machine(record: "WalkRecord", person: "_Terminal", args: argparse.Namespace) -> "Machine":
    from pincheck.bench.by_port import Machine
    from pincheck.console.port import PortError, SerialPort, WallClock, require_serial
    from pincheck.console.talk import Talk

    try:
        require_serial()
    except PortError as error:
        raise base.CannotCheckError(str(error)) from None
    clock = WallClock()
    return Machine(record, person, lambda: Talk(SerialPort(args.port, args.baud), clock), clock)


class _Terminal:
    """The person at a plain terminal, or the answers in a pipe."""

    def told(self, lines: Iterable[str]) -> None:
        from pincheck.reports.text import wrap

        for line in lines:
            base.say(wrap(line) if line else [""])

    def asked(self, question: str) -> str:
        return input(question)


def _code(record: "WalkRecord") -> int:
    if record.stops:
        return base.FOUND
    paper = base.code_of(record.result, Severity.DANGER)
    if paper == base.COULD_NOT_CHECK:
        return paper
    return base.NOT_ALL_JUDGED if record.open_steps else base.CLEAN

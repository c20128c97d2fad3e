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
    from pincheck.bench.record import WalkRecord


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
    what.add_argument(
        "--keep", type=Path, metavar="FILE", help="keep readings here, not beside the wiring"
    )
    what.add_argument(
        "--readings", type=Path, metavar="FILE", help="ask nothing, judge a file of readings"
    )
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Walk, judge or print, and return the exit code."""
    from pincheck import api
    from pincheck.bench import readings
    from pincheck.bench.document import document
    from pincheck.bench.record import WalkRecord
    from pincheck.bench.text import text
    from pincheck.reports.text import wrap

    assembly = base.assembly_of(args)
    machine = base.machine_of(args)
    result = api.check(machine, assembly, base.vocabulary_of(args, machine.style))
    file = args.readings or args.keep or readings.beside(base.wiring_of(args))
    if args.readings and not args.readings.exists():
        raise base.CannotCheckError(f"there is no file {args.readings}")
    record = WalkRecord(result, file)
    if file:
        known = tuple(step.id for step in record.all_steps)
        base.complain(readings.unknown(record.answers, known, file.name))
    if args.json:
        base.put([document(record)])
    elif args.readings:
        for line in text(record):
            indent = line[: len(line) - len(line.lstrip())]
            base.say(wrap(line.strip(), indent) if line else [""])
    else:
        _walk(record)
    return _code(record)


def _walk(record: "WalkRecord") -> None:
    from pincheck.bench.dialogue import by_line

    try:
        by_line(record, _Terminal())
    except KeyboardInterrupt:
        kept = f"readings are kept in {record.file}" if record.file else "readings were not kept"
        raise KeyboardInterrupt(f"left; {kept}") from None


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

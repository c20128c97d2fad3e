"""The test of each unit made of a board: its plan, a unit's readings, the record of all units."""

import argparse
import json
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from pincheck.cli import base

if TYPE_CHECKING:
    from pincheck.production.judge import JudgedUnit
    from pincheck.production.plan import TestPlan
    from pincheck.production.record import UnitRecord


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "production", help="test each unit of a board, and keep the record", description=__doc__
    )
    parser.add_argument("board", nargs="?", type=Path, metavar="BOARD", help="the board's file")
    parser.add_argument(
        "--plan", choices=("text", "toml", "json", "csv"), help="print the plan; default: text"
    )
    parser.add_argument("--record", type=Path, metavar="FILE", help="the record of all units")
    parser.add_argument(
        "--unit", default="", metavar="SERIAL", help="test this unit: readings are asked for"
    )
    parser.add_argument(
        "--readings",
        type=Path,
        metavar="CSV",
        help="a tester's readings: columns test and reading, and serial for several units",
    )
    parser.add_argument("--retest", action="store_true", help="the unit was tested before")
    parser.add_argument("--export", action="store_true", help="print the record as CSV")
    parser.add_argument("--yields", action="store_true", help="print yields and failing tests")
    parser.add_argument("--svg", type=Path, metavar="FILE", help="draw the failing tests")
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Do one of it; 1 where a unit failed or was not read whole."""
    if args.unit or args.readings:
        return _test(args)
    if args.export or args.yields or args.svg:
        return _tell(args)
    if args.record:
        raise base.CannotCheckError("what of the record? --unit SERIAL, --yields or --export")
    from pincheck.production import plan_files

    plan = _plan(args)
    if args.plan == "json" or args.json:
        base.put([plan_files.as_json(plan)])
    elif args.plan == "toml":
        base.put([plan_files.as_toml(plan)])
    elif args.plan == "csv":
        base.put([plan_files.as_csv(plan)])
    else:
        base.say(plan_files.lines(plan))
    return base.CLEAN


def _plan(args: argparse.Namespace) -> "TestPlan":
    from pincheck.production.plan import plan
    from pincheck.wiring import load_board

    if not args.board:
        raise base.CannotCheckError("which board? name its file: pincheck production board.toml")
    return plan(load_board(args.board))


def _test(args: argparse.Namespace) -> int:
    from pincheck.production.judge import judged
    from pincheck.production.record import append

    plan = _plan(args)
    if not args.record:
        raise base.CannotCheckError("where is it to be recorded? name a file: --record units.jsonl")
    serial = _serial(args.unit) if args.unit else ""
    if args.readings:
        units = _from_table(args.readings, plan, serial)
    else:
        _refuse_early(args, serial)
        units = {serial: _asked(plan)}
    found = [judged(plan, unit, readings) for unit, readings in units.items()]
    at = datetime.now(UTC).isoformat(timespec="seconds")
    before, made = append(args.record, plan.board, plan.digest, found, at, retest=args.retest)
    _note_torn(before)
    for unit, recorded in zip(found, made, strict=True):
        base.say(_verdict(plan, unit, recorded.attempt, at))
    return base.CLEAN if all(it.state == "passed" for it in found) else base.FOUND


def _serial(written: str) -> str:
    from pincheck.bench.step import ReadingError
    from pincheck.production.judge import serial_of

    try:
        return serial_of(written)
    except ReadingError as error:
        raise base.CannotCheckError(f"--unit: {error}") from None


def _from_table(file: Path, plan: "TestPlan", serial: str) -> dict[str, dict[str, float]]:
    from pincheck.model import limits
    from pincheck.production.judge import from_table
    from pincheck.wiring import folder

    source = folder.read(file, file.name, limits.TABLE_BYTES, "table of readings")
    units = from_table(source, plan, serial)
    if not units:
        raise base.CannotCheckError(f"{file.name} has no reading; nothing was recorded")
    return units


def _refuse_early(args: argparse.Namespace, serial: str) -> None:
    """Say before sixty readings are typed that the unit may not be recorded."""
    from pincheck.production.record import load

    past = load(args.record).of(serial) if args.record.exists() else ()
    if bool(past) != args.retest:
        known = f"was recorded as {past[-1].state}: say --retest" if past else "was never recorded"
        hint = "" if past else ": leave out --retest"
        raise base.CannotCheckError(f"{serial} {known}{hint}")


def _asked(plan: "TestPlan") -> dict[str, float]:
    """Return what is typed for each test; the rest stays unread where the input ends."""
    from pincheck.bench.step import ReadingError
    from pincheck.production.judge import passes, read, said
    from pincheck.production.plan_files import expected

    readings: dict[str, float] = {}
    for number, test in enumerate(plan.tests, 1):
        while test.id not in readings:
            base.note(f"{number}/{len(plan.tests)} {test.do} {expected(test)}")
            try:
                line = sys.stdin.readline()
            except KeyboardInterrupt:
                line = ""  # what was typed is recorded, as a unit not read whole
            if not line:
                return readings
            try:
                readings[test.id] = read(test, line)
            except ReadingError as error:
                base.note(f"  {error}")
                continue
            if not passes(test, readings[test.id]):
                base.note(f"  FAILS: {said(test, readings[test.id])}")
    return readings


def _verdict(plan: "TestPlan", unit: "JudgedUnit", attempt: int, at: str) -> "list[str]":
    from pincheck.production.judge import said
    from pincheck.reports.sentences import plural
    from pincheck.reports.text import wrap

    again = f", attempt {attempt}" if attempt > 1 else ""
    lines = [f"{unit.serial}: {unit.state.upper()}{again}; recorded."]
    for test in plan.tests:
        if test.id in unit.failed:
            lines += wrap(said(test, unit.readings[test.id]), "  ")
    if unit.missing:
        lines += wrap(f"not read: {plural(len(unit.missing), 'test')}, {unit.missing[0]}", "  ")
    if unit.state == "passed":
        lines.append(f"label: {plan.board} | {unit.serial} | passed {at[:10]} | {plan.digest}")
    return lines


def _tell(args: argparse.Namespace) -> int:
    from pincheck.production import yields
    from pincheck.production.record import load

    if not args.record:
        raise base.CannotCheckError("of which record? name its file: --record units.jsonl")
    record = load(args.record)
    _note_torn(record)
    if args.export:
        base.put(yields.as_csv(record))
    elif args.yields and args.json:
        base.put([json.dumps(yields.record_of(record), indent=2) + "\n"])
    elif args.yields:
        base.say(yields.lines(record))
    if args.svg:
        from pincheck.writing.output import put

        put(args.svg, [yields.as_svg(record)])
    return base.CLEAN


def _note_torn(record: "UnitRecord") -> None:
    for line in record.torn:
        base.note(
            f"line {line} of the record was cut off in mid-write or changed: its unit is not "
            "recorded, test it again"
        )

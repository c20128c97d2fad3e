"""A first wiring description from a known-good configuration and its mainboard."""

import argparse
import os
from pathlib import Path

from pincheck.cli import base


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "draft", help="draft the wiring of a known-good configuration", description=__doc__
    )
    parser.add_argument(
        "configuration",
        nargs="+",
        type=Path,
        metavar="CONFIG",
        help="files, a folder or an archive of one machine",
    )
    parser.add_argument(
        "--board", type=Path, required=True, metavar="TOML", help="the mainboard's file"
    )
    base.add_intake(parser)
    base.add_words(parser)
    parser.add_argument(
        "--into",
        type=Path,
        metavar="TOML",
        help="write it to this new file, in the board's folder or above; else it is printed",
    )


def run(args: argparse.Namespace) -> int:
    """Draft and return the exit code: 1 where a claimed part could not be drafted."""
    from pincheck.maker.draft import NoDraftError, draft
    from pincheck.reports.text import wrap
    from pincheck.wiring import load_board

    machine = base.load(args, *args.configuration)
    try:
        words = base.vocabulary_of(args, machine.style)
        made = draft(machine, load_board(args.board), _board_file(args), words)
    except NoDraftError as error:
        raise base.CannotCheckError(str(error)) from None
    if args.into:
        from pincheck.writing.change import FileChange
        from pincheck.writing.write import write

        base.mend(args.into.parent)
        path = args.into.parent.resolve() / args.into.name
        write([FileChange(path, args.into.name, None, made.text.encode())])
        base.say([f"written: {args.into.name}"])
    else:
        base.put([made.text])
    for role, reason in made.left_out:
        for line in wrap(f"not drafted: {role}: {reason}"):
            base.note(line)
    return base.FOUND if made.left_out else base.CLEAN


def _board_file(args: argparse.Namespace) -> str:
    folder = (args.into.parent if args.into else args.board.parent).resolve()
    board = args.board.resolve()
    if not board.is_relative_to(folder):
        raise base.CannotCheckError(
            "the draft must stand in the folder of its board, or above it: an assembly reads "
            "nothing from outside its own folder"
        )
    return Path(os.path.relpath(board, folder)).as_posix()

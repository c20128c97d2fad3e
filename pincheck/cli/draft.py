"""A first wiring description from a known-good configuration and its boards."""

import argparse
import os
from pathlib import Path
from typing import TYPE_CHECKING

from pincheck.cli import base

if TYPE_CHECKING:
    from pincheck.intake import Machine
    from pincheck.maker.draft import DraftBoard
    from pincheck.model.source import Source

SKELETON = "boards/mainboard.toml"


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
        "--board",
        type=Path,
        metavar="TOML",
        help="the mainboard's file; without it a skeleton of one is made from the configuration",
    )
    parser.add_argument(
        "--breakout", type=Path, metavar="TOML", help="the file of the board at the tool head"
    )
    parser.add_argument("--chip", default="", help="the mainboard's chip, for the skeleton")
    base.add_intake(parser)
    base.add_words(parser)
    parser.add_argument(
        "--into",
        type=Path,
        metavar="TOML",
        help="write it to this new file, in the boards' folder or above; else it is printed",
    )


def run(args: argparse.Namespace) -> int:
    """Draft and return the exit code: 1 where a claimed part could not be drafted."""
    from pincheck.maker.draft import NoDraftError, draft
    from pincheck.model.source import Source
    from pincheck.reports.text import wrap

    if args.breakout and not args.board:
        raise base.CannotCheckError(
            "behind a breakout nobody can tell which pin leads where without the mainboard: name "
            "its file, --board, or describe it: pincheck new"
        )
    machine = base.load(args, *args.configuration)
    words = base.vocabulary_of(args, machine.style)
    made: list[Source] = []
    if args.board:
        main = _on_disk(args, args.board)
    else:
        main = _skeleton(args, machine)
        made += [main.board.source] if main.board.source else []
    tool = _on_disk(args, args.breakout) if args.breakout else None
    try:
        found = draft(machine, main, tool, words)
    except NoDraftError as error:
        raise base.CannotCheckError(str(error)) from None
    made.append(Source.of_text(args.into.name if args.into else "draft.toml", found.text))
    if args.into:
        _write(args.into.parent, made)
    else:
        for source in made:
            base.put([f"# ----- {source.name}\n" * (len(made) > 1), source.text])
    for role, reason in found.left_out:
        for line in wrap(f"not drafted: {role}: {reason}"):
            base.note(line)
    return base.FOUND if found.left_out else base.CLEAN


def _write(folder: Path, made: "list[Source]") -> None:
    from pincheck.writing.change import FileChange
    from pincheck.writing.write import write

    base.mend(folder)
    write([FileChange(folder.resolve() / it.name, it.name, None, it.data) for it in made])
    base.say(f"written: {it.name}" for it in made)


def _skeleton(args: argparse.Namespace, machine: "Machine") -> "DraftBoard":
    from attrs import evolve

    from pincheck.maker.draft import DraftBoard
    from pincheck.maker.skeleton import skeleton
    from pincheck.model.problem import UnreadableError
    from pincheck.toml.document import parse
    from pincheck.toml.table import Tables
    from pincheck.wiring.board import read_board

    source = evolve(
        skeleton(machine, args.chip, base.vocabulary_of(args, machine.style)), name=SKELETON
    )
    tables = Tables(parse(source))
    board = read_board(tables)
    if tables.problems:
        raise UnreadableError(tuple(tables.problems))
    return DraftBoard(board, SKELETON)


def _on_disk(args: argparse.Namespace, file: Path) -> "DraftBoard":
    from pincheck.maker.draft import DraftBoard
    from pincheck.wiring import load_board

    loaded = load_board(file)
    folder = (args.into.parent if args.into else args.board.parent).resolve()
    board = file.resolve()
    if not board.is_relative_to(folder):
        raise base.CannotCheckError(
            "the draft must stand in the folder of its boards, or above it: an assembly reads "
            "nothing from outside its own folder"
        )
    return DraftBoard(loaded, Path(os.path.relpath(board, folder)).as_posix())

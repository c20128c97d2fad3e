"""Ask for the wiring of a machine, question by question, and write the files that describe it."""

import argparse
import sys
from pathlib import Path

from pincheck.cli import base

ANSWERS = "answers.toml"


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "new",
        help="describe a machine's wiring by answering questions",
        description=__doc__,
        epilog="It can be left at any question: each answer is kept in FOLDER/answers.toml, and "
        "the same command goes on. Answers may come from a pipe, one a line.",
    )
    parser.add_argument(
        "folder",
        nargs="?",
        type=Path,
        default=Path("wiring"),
        metavar="FOLDER",
        help="where the files go (default: %(default)s)",
    )


def run(args: argparse.Namespace) -> int:
    """Ask, write, and return the exit code: 2 where it was left before the end."""
    from pincheck.interview.dialogue import Answers, Dialogue, LeftError
    from pincheck.interview.files import ASSEMBLY, read_back, sources
    from pincheck.interview.interview import interview
    from pincheck.maker.files import save
    from pincheck.model.problem import UnreadableError
    from pincheck.reports.text import WIDTH

    if (args.folder / ASSEMBLY).exists():
        raise base.CannotCheckError(
            f"{args.folder / ASSEMBLY} is there already and stays as it is: name another folder"
        )
    if hasattr(sys.stdin, "reconfigure"):
        sys.stdin.reconfigure(errors="replace")
    base.mend(args.folder)
    answers = Answers(args.folder / ANSWERS)
    dialogue = Dialogue(answers, _line, base.say, min(WIDTH, base.columns()))
    base.say(
        dialogue.wrap(
            "Answer ? wherever you do not know: it is not checked then. `back` asks the question "
            f"before again, `quit` leaves; every answer is kept in {answers.file}."
        )
    )
    kept = f"the answers are kept in {answers.file}; the same command goes on"
    try:
        told = interview(dialogue, Path())
    except LeftError:
        raise base.CannotCheckError(f"left before the end: {kept}") from None
    except KeyboardInterrupt:
        raise KeyboardInterrupt(f"left before the end: {kept}") from None
    home = args.folder.resolve()
    made = sources(told, home)
    try:
        read_back(made, told, home)
    except UnreadableError as error:
        base.complain(error.problems)
        raise base.CannotCheckError(
            f"the answers do not fit together, nothing was written: correct {answers.file} and go "
            f"on with the same command"
        ) from None
    save(args.folder, made)
    base.say(["", *(f"written: {args.folder / source.name}" for source in made)])
    for role, why in told.unknown.items():
        base.say(dialogue.wrap(f"not checked until you know it: {role}, {why}"))
    base.say(dialogue.wrap(f"Next: pincheck check CONFIG --wiring {args.folder / ASSEMBLY}"))
    return base.CLEAN


def _line(prompt: str) -> str:
    """Return the next line with its end, empty where there is none; show it unless it was typed."""
    from pincheck.model.limits import LINE_CHARS

    base.put([prompt])
    sys.stdout.flush()
    line = sys.stdin.readline(LINE_CHARS)
    if not sys.stdin.isatty():
        base.say([line.rstrip("\r\n")])
    return line

"""Print the manual page, in the form that `man` reads: pincheck manual > pincheck.1"""

import argparse
from collections.abc import Iterator

from pincheck.cli import base


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    commands.add_parser("manual", help="print the manual page", description=__doc__)


def run(args: argparse.Namespace) -> int:  # noqa: ARG001 - every command has this shape
    """Print the page and return the exit code."""
    from pincheck.cli.main import parser

    base.put(f"{line}\n" for line in page(parser()))
    return base.CLEAN


def page(whole: argparse.ArgumentParser) -> Iterator[str]:
    """Yield the lines of the page, in the macros of man(7), from the table of all arguments."""
    first, *commands = base.parsers(whole)
    yield f'.TH {first.prog.upper()} 1 "" {first.prog}'
    yield from (".SH NAME", rf"{first.prog} \- checks firmware configuration against wiring")
    yield from (".SH SYNOPSIS", rf".B {first.prog}", ".I COMMAND", "[...]")
    yield from (".SH DESCRIPTION", _text(first.description or ""))
    yield ".SH COMMANDS"
    for command in commands:
        yield f".SS {_text(command.prog.removeprefix(first.prog).strip())}"
        yield _text(command.description or "")
        for action in command._actions:
            yield from _argument(action)
        if command.epilog:
            yield from (".PP", *_block(command.epilog))
    yield from (".SH OPTIONS", *(line for it in first._actions for line in _argument(it)))
    yield from (".SH NOTES", ".nf", *map(_text, (first.epilog or "").splitlines()), ".fi")


def _argument(action: argparse.Action) -> Iterator[str]:
    if isinstance(action, argparse._SubParsersAction | argparse._HelpAction):
        return
    named = action.metavar or (action.dest if not action.option_strings else action.dest.upper())
    wants = "" if action.nargs == 0 else f"{' '.join(named) if isinstance(named, tuple) else named}"
    if action.choices is not None:
        wants = "|".join(map(str, action.choices))
    names = r", ".join(rf"\fB{_text(name)}\fR" for name in action.option_strings)
    yield from (".TP", f"{names} \\fI{_text(wants)}\\fR".strip() if wants else names)
    said = action.help or ""
    yield _text(said % {**vars(action), "prog": "pincheck"} if "%(" in said else said)


def _block(text: str) -> Iterator[str]:
    raw = "\n" in text
    yield from ([".nf", *map(_text, text.splitlines()), ".fi"] if raw else [_text(text)])


def _text(text: str) -> str:
    """Return a text as troff takes it literally: no escape, no hyphen for a minus, no request."""
    safe = text.replace("\\", r"\e").replace("-", r"\-").replace("\n", " ")
    return rf"\&{safe}" if safe[:1] in (".", "'") else safe

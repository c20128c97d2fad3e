"""The whole answer for one machine."""

import argparse

from pincheck.cli import base
from pincheck.model.finding import Severity


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "check", help="compare configuration and wiring", description=__doc__
    )
    base.add_configuration(parser)
    base.add_json(parser)
    parser.add_argument(
        "--at-least",
        choices=[severity.word for severity in Severity],
        default=Severity.ADVICE.word,
        help="exit with 1 only for findings this severe (default: %(default)s)",
    )


def run(args: argparse.Namespace) -> int:
    """Check, print, and return the exit code."""
    from pincheck import api

    assembly = base.assembly_of(args)
    machine = base.machine_of(args)
    words = base.vocabulary_of(args, machine.style)
    result = api.explain(api.check(machine, assembly, words), base.wiring_of(args), words)
    proposals = api.propose(result, words)
    if args.json:
        from pincheck.reports import json

        base.put([json.document(result, proposals)])
    else:
        from pincheck.reports import text

        base.say(text.text(result, proposals, base.ink(), machine.reason))
    return base.code_of(result, Severity[args.at_least.upper()])

"""Currents, temperatures and tolerances of each part, with each one's derivation."""

import argparse

from pincheck.cli import base


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "figures",
        help="show what each part draws, reads and does in a fault",
        description=__doc__,
    )
    parser.add_argument("--role", help="hotend.heater, part.fan, ...; all without it")
    parser.add_argument("--why", action="store_true", help="derive every figure")
    base.add_configuration(parser)
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print the figures and return the exit code."""
    from pincheck import api
    from pincheck.analysis.case import Case
    from pincheck.reports import figures

    assembly = base.assembly_of(args)
    machine = base.machine_of(args)
    result = api.check(machine, assembly, base.vocabulary_of(args, machine.style))
    roles = figures.figured(Case(result.claims, result.trace, result.assembly))
    if args.role:
        base.require_role(args.role, roles, "there are no figures of", "there are")
    if args.json:
        base.put_json(figures.record(result, args.role or ""))
        return base.CLEAN
    base.say(figures.lines(result, args.role or "", args.why))
    base.complain(result.problems)
    return base.CLEAN

"""The copper from a role to its chip pin, or every role's in one list."""

import argparse

from pincheck.cli import base


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "trace", help="show the path from chip pin to part", description=__doc__
    )
    parser.add_argument("role", nargs="?", help="hotend.heater, part.fan, ...; all without it")
    base.add_wiring(parser)
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print the paths and return the exit code."""
    from pincheck import api
    from pincheck.model.role import order
    from pincheck.reports.text import wrap

    assembly = base.assembly_of(args)
    trace = api.trace(assembly)
    roles = sorted(trace.roles(), key=order)
    if args.role:
        base.require_role(args.role, roles, "nothing is fitted for", "fitted are")
    asked = [args.role] if args.role else roles
    code = base.FOUND if trace.faults else base.CLEAN
    if args.json:
        from pincheck.reports.listings import trace_record

        base.put_json(trace_record(assembly.name, trace, asked))
        return code
    if not roles:
        base.say(["In this wiring no part is fitted: there is nothing to trace."])
    for role in asked:
        wired = trace.find(role)
        if wired:
            base.say([role, *wrap(wired.path.line(), "  ")])
            if wired.supply:
                base.say(wrap(f"fed by {wired.supply.line()}", "  "))
            if wired.reason:
                base.say(wrap(wired.reason, "  "))
    for fault in trace.faults:
        base.say(["", *wrap(f"{fault.kind}: {fault.message}")])
    return code

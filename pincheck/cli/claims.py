"""What was taken from which line, and which relevant keys were not understood."""

import argparse

from pincheck.cli import base


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "claims", help="show what the configuration claims, line by line", description=__doc__
    )
    base.add_configuration(parser)
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print the claims and return the exit code."""
    from pincheck import api
    from pincheck.reports.sentences import firmware_line, value_text
    from pincheck.reports.text import wrap

    machine = base.machine_of(args)
    known = args.wiring or args.demo or len(base.wirings_near(args)) == 1
    assembly = base.assembly_of(args) if known else None
    claims, problems = api.claims(machine, assembly, base.vocabulary_of(args, machine.style))
    unread = any(problem.fatal for problem in problems)
    code = base.COULD_NOT_CHECK if unread or not claims.all else base.CLEAN
    if args.json:
        from pincheck.reports.listings import claims_record

        base.put_json(claims_record(machine.name, machine.style, claims, problems))
        return code
    base.say([machine.reason, ""])
    for claim in claims.all:
        base.say(
            [
                f"{claim.role:<16} {claim.attribute:<18} {value_text(claim.value)}",
                f"    {firmware_line(claim)}",
                *wrap(claim.doubt and f"not certain: {claim.doubt}", "    "),
            ]
        )
    if not claims.all:
        base.say(["No line claims anything."])
    if claims.overridden:
        base.say(["", "Overridden:"])
    for loser, winner in claims.overridden:
        base.say([f"  {firmware_line(loser)}", f"    by {firmware_line(winner)}"])
    if claims.not_sent:
        names = dict.fromkeys(missing.name for missing in claims.not_sent)
        base.say(["", *wrap(f"Asked for but not sent: {', '.join(names)}")])
    if claims.not_understood:
        base.say(["", "Looks relevant, but is in no vocabulary:"])
    for setting in claims.not_understood:
        base.say(
            wrap(f"{setting.span}  {setting.section} {setting.key} {setting.value}"[:200], "  ")
        )
    base.complain(problems)
    return code

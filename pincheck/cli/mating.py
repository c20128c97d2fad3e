"""Every way in which a plug can go on wrong, solved: what burns, dies, runs or stays dead."""

import argparse

from pincheck.cli import base


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "mating", help="show what plugs that go on wrong would do", description=__doc__
    )
    base.add_wiring(parser)
    parser.add_argument("--all", action="store_true", help="every harm, of prevented matings too")
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print the matings; 1 where one that nothing prevents can burn or destroy something."""
    from pincheck.analysis.mating.survey import survey

    assembly = base.assembly_of(args)
    found = survey(assembly)
    if args.json:
        import json

        from pincheck.reports import mating_json

        base.put([json.dumps(mating_json.record(assembly, found), indent=2) + "\n"])
    else:
        from pincheck.reports import mating_text

        base.say(mating_text.lines(assembly, found, args.all))
    if found.dangerous:
        return base.FOUND
    unknown = found.left_out or any(it.unsolved for it in found.found)
    return base.NOT_ALL_JUDGED if unknown else base.CLEAN

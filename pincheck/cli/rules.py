"""Every rule by family, one line each, then the figures at which they turn."""

import argparse

from pincheck.cli import base


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    commands.add_parser("rules", help="list the rules", description=__doc__)


def run(args: argparse.Namespace) -> int:  # noqa: ARG001 - every command has this shape
    """Print the rules and return the exit code."""
    from pincheck.reports.text import threshold_lines
    from pincheck.rules.registry import rules

    family = ""
    for rule in rules():
        if rule.family != family:
            family = rule.family
            base.say(["", family] if rule is not rules()[0] else [family])
        base.say([f"  {rule.id:<34} {rule.severity.word:<7} {rule.title}"[:100]])
    base.say(["", "figures at which they turn, with what follows just below and just above"])
    for rule in rules():
        base.say(line for at in rule.thresholds for line in threshold_lines(rule.id, at))
    return base.CLEAN

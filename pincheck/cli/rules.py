"""Every rule by family, one line each, then the figures at which they turn."""

import argparse
from typing import TYPE_CHECKING, Any

from pincheck.cli import base

if TYPE_CHECKING:
    from pincheck.rules.rule import Rule


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser("rules", help="list the rules", description=__doc__)
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Print the rules and return the exit code."""
    from pincheck.reports.text import threshold_lines
    from pincheck.rules.registry import rules

    if args.json:
        base.put_json({"schema_version": 1, "rules": list(map(_record, rules()))})
        return base.CLEAN
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


def _record(rule: "Rule") -> dict[str, Any]:
    return {
        "id": rule.id,
        "family": rule.family,
        "severity": rule.severity.word,
        "title": rule.title,
        "reason": rule.reason,
        "source": rule.source,
        "thresholds": [
            {
                "value": float(at),
                "unit": at.unit,
                "words": at.words,
                "source": at.source,
                "below": at.below,
                "above": at.above,
            }
            for at in rule.thresholds
        ],
    }

"""One rule's reason, source and examples, or the derivation of one finding's numbers."""

import argparse
import difflib
from collections.abc import Iterator
from typing import TYPE_CHECKING

from pincheck.cli import base

if TYPE_CHECKING:
    from pincheck.rules.rule import Example, Rule


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "why", help="explain a rule, or a finding of a check", description=__doc__
    )
    parser.add_argument("subject", help="a rule's identifier, or a finding's number in the report")
    base.add_configuration(parser)


def run(args: argparse.Namespace) -> int:
    """Print the explanation and return the exit code."""
    if args.subject.isdigit():
        base.say(_of_finding(args))
        return base.CLEAN
    from pincheck.rules.registry import rule_named, rules

    rule = rule_named(args.subject)
    if rule is None:
        near = difflib.get_close_matches(args.subject, [r.id for r in rules()], 1)
        hint = f"; did you mean {near[0]}?" if near else "; `pincheck rules` lists them"
        raise base.CannotCheckError(f"there is no rule {args.subject!r}{hint}")
    base.say(_of_rule(rule))
    return base.CLEAN


def _of_rule(rule: "Rule") -> Iterator[str]:
    from pincheck.reports.text import labelled, threshold_lines, wrap

    yield f"{rule.id} ({rule.severity.word} at worst): {rule.title}"
    yield ""
    yield from wrap(rule.reason)
    yield from labelled("source", rule.source)
    yield from (line for at in rule.thresholds for line in threshold_lines("turns at", at))
    yield ""
    yield "Fires when, in the demo machine that agrees,"
    yield from _example(rule.fires)
    yield "Stays quiet when"
    yield from _example(rule.quiet)


def _example(example: "Example") -> Iterator[str]:
    for file, old, new in example.replaced:
        yield f"  {file}"
        yield from (f"    - {line}" for line in old.splitlines())
        yield from (f"    + {line}" for line in new.splitlines())


def _of_finding(args: argparse.Namespace) -> Iterator[str]:
    from pincheck import api
    from pincheck.reports import figure
    from pincheck.reports.text import finding_lines

    assembly = base.assembly_of(args)
    machine = base.machine_of(args)
    result = api.check(machine, assembly, base.vocabulary_of(args, machine.style))
    number = int(args.subject)
    if not 1 <= number <= len(result.findings):
        message = f"there are {len(result.findings)} findings, none with number {number}"
        raise base.CannotCheckError(message)
    finding = result.findings[number - 1]
    yield from finding_lines(finding, number)
    yield ""
    yield from figure.derivation(finding)

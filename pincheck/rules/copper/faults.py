"""Faults of the wiring as findings, for the rules that each take one kind."""

import re
from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.model.finding import Fact, Finding, Severity


def findings(
    case: Case,
    *,
    kind: str,
    rule: str,
    severity: Severity,
    attribute: str,
    effect: str,
    advice: str,
    unless: tuple[str, ...] = (),
) -> Iterator[Finding]:
    """Yield the faults of one kind: what is wrong, then `effect` as a sentence of its own.

    A fault of nets with no part near is told of the first role there is. `unless` are kinds that
    explain this one where they name its role. Behind a plug that is mated wrong no supply is
    missed: the plug is told of already.
    """
    explained = {
        role for fault in case.trace.faults if fault.kind in unless for role in fault.roles
    }
    first = next((wired.role for wired in case.trace.wired), None)
    for fault in case.trace.faults:
        named = fault.roles or ((first,) if first else ())
        if fault.kind != kind or not named or explained.intersection(named):
            continue
        if kind == "no-supply" and case.shorted.issuperset(named):
            continue
        text = _plain(fault.message.rstrip("."), named)
        yield Finding(
            rule=rule,
            severity=severity,
            spots=tuple((role, attribute) for role in named),
            message=f"{text[0].upper()}{text[1:]}. {effect}".strip(),
            facts=(Fact(named[0], attribute, text, fault.path, fault.at),),
            advice=advice,
        )


def _plain(text: str, named: tuple[str, ...]) -> str:
    for role in named:
        text = re.sub(rf"(?<![\w.]){re.escape(role)}(?![\w.])", f"the {roles.name(role)}", text)
    return text

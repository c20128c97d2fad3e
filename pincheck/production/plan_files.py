"""A test plan as data that a jig reads, and as text."""

import csv
import io
import json
from collections.abc import Iterator
from typing import Any

from attrs import asdict

from pincheck.bench.step import figure
from pincheck.production.plan import TestPlan, UnitTest
from pincheck.reports.sentences import plural
from pincheck.reports.text import wrap

SCHEMA_VERSION = 1
"""Raised when a field changes its meaning or goes; new fields do not raise it."""


def record(plan: TestPlan) -> dict[str, Any]:
    """Return a plan as plain values; a side without a limit is left out."""
    return {
        "schema_version": SCHEMA_VERSION,
        "board": plan.board,
        "digest": plan.digest,
        "tests": [
            {key: value for key, value in asdict(test).items() if value is not None}
            for test in plan.tests
        ],
        "untested": list(plan.untested),
    }


def as_json(plan: TestPlan) -> str:
    """Return a plan as one JSON document (`production-plan.schema.json`)."""
    return json.dumps(record(plan), indent=2) + "\n"


def as_toml(plan: TestPlan) -> str:
    """Return the same as TOML."""
    import tomli_w

    return tomli_w.dumps(record(plan))


def as_csv(plan: TestPlan) -> str:
    """Return the tests as a table, one line each."""
    out = io.StringIO(newline="")
    names = ["id", "kind", "one", "two", "unit", "low", "high", "power", "do"]
    table = csv.DictWriter(out, names, restval="", lineterminator="\r\n")
    table.writeheader()
    table.writerows(record(plan)["tests"])
    return out.getvalue()


def lines(plan: TestPlan) -> Iterator[str]:
    """Yield the plan to read: what to do, what to expect, what is not tested."""
    yield from wrap(f"{plan.board}: {plural(len(plan.tests), 'test')}, plan {plan.digest}")
    power = ""
    for number, test in enumerate(plan.tests, 1):
        if test.power != power:
            power = test.power
            yield from ("", f"Power {power}")
        yield from wrap(f"{number:>3}. {test.do} {expected(test)}")
    if plan.untested:
        yield from ("", "Not tested:")
    for said in plan.untested:
        yield from wrap(said, "  ")


def expected(test: UnitTest) -> str:
    """Return what a test has to read, in words."""
    if not test.unit:
        return "Yes or no."
    if test.low is None:
        return f"At most {figure(test.high or 0.0, test.unit)}."
    if test.high is None:
        return f"At least {figure(test.low, test.unit)}."
    return f"{figure(test.low, test.unit)} to {figure(test.high, test.unit)}."

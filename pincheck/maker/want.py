"""One thing that a right configuration says, and why."""

from collections.abc import Iterable

from pincheck.analysis.case import Case
from pincheck.model.claim import Claim, Claims, Value
from pincheck.model.frozen import frozen
from pincheck.model.path import Trace
from pincheck.model.setting import StyleName
from pincheck.model.wiring import Assembly


@frozen
class Want:
    """A role's attribute with the value that suits the copper; `why` is a short comment."""

    role: str
    attribute: str
    value: Value
    why: str


class CannotExpressError(Exception):
    """A style has no way to say what the assembly needs; the text says what and why."""


def as_case(assembly: Assembly, trace: Trace, style: StyleName, wants: Iterable[Want] = ()) -> Case:
    """Return the machine as rules see it when its configuration says just these things."""
    claims = tuple(Claim(w.role, w.attribute, w.value, origin="reference") for w in wants)
    return Case(Claims(style, claims), trace, assembly)

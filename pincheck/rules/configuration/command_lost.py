"""A command is lost.

Start-up scripts are carried out from top to bottom. A command for a fan, heater, sensor or servo
that is not set up yet does nothing, and setting it up once more starts it with the firmware's own
values. What the line says is then nowhere in force.
"""

from collections.abc import Iterator
from itertools import islice

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.claim import Claim
from pincheck.model.finding import Change, Finding, Severity
from pincheck.model.reading import Lost
from pincheck.model.setting import Setting
from pincheck.rules.rule import Outcomes, example, rule

_FAN = 'M950 F0 C"fan2" Q250\n'
_SPEED = 'M106 P0 S0 L0.2 X1.0 B0.3 H-1 C"Part fans"\n'


@rule(
    Severity.FAULT,
    source="public sources of the style",
    fires=example("gcode", ("toolhead.g", _FAN + _SPEED, _SPEED + _FAN)),
    quiet=example("gcode", ("toolhead.g", _SPEED, _SPEED + "M950 F0 Q250\n")),
)
def command_lost(case: Case) -> Outcomes:
    """Name each line whose command leaves nothing behind, and what it was to say."""
    lines: dict[tuple[str, int], list[tuple[Claim, Lost]]] = {}
    for claim, lost in case.claims.lost:
        lines.setdefault(_place(lost.setting), []).append((claim, lost))
    for found in lines.values():
        claims, lost = [claim for claim, _ in found], found[0][1]
        what = dict.fromkeys(
            f"{ATTRIBUTES[c.attribute].words} of the {roles.name(c.role)}" for c in claims
        )
        yield Finding(
            spots=tuple(dict.fromkeys((c.role, c.attribute) for c in claims)),
            message=f"{_why(lost)}: it says nothing of the {roles.listed(list(what))}.",
            claims=(*claims, *_named_instead(case, claims), *_afresh(case, lost)),
            changes=tuple(_changes(case, claims)) if lost.by else (),
            advice=_advice(lost),
        )


def _named_instead(case: Case, claims: list[Claim]) -> Iterator[Claim]:
    """Yield the line that sets up the servo that there is, where another one is meant to move."""
    for claim in claims:
        if claim.attribute == "servo_number" and claim.setting:
            found = case.claims.find(claim.role, claim.attribute)
            yield from (found,) if found else ()


def _afresh(case: Case, lost: Lost) -> Iterator[Claim]:
    """Yield a claim of the line that sets up once more what was set already."""
    if lost.afresh and lost.by:
        lines = (c for c in case.claims.all if c.setting and _place(c.setting) == _place(lost.by))
        yield from islice(lines, 1)


def _changes(case: Case, claims: list[Claim]) -> Iterator[Change]:
    """Yield what the line says once more, where it counts, and the end of the line itself."""
    for claim in claims:
        now = case.claims.find(claim.role, claim.attribute)
        yield Change(claim.role, claim.attribute, claim.value, now)
    yield Change(claims[0].role, claims[0].attribute, None, claims[0])


def _place(setting: Setting) -> tuple[str, int]:
    return setting.source.name, setting.span.line


def _at(setting: Setting) -> str:
    return "{}:{}".format(*_place(setting))


def _why(lost: Lost) -> str:
    own = f"{lost.setting.section} at {_at(lost.setting)}"
    if lost.by is None:
        return f"{own} is for something that no command sets up"
    by = f"{lost.by.section} at {_at(lost.by)}"
    if lost.afresh:
        return f"{own} is forgotten, because {by} starts afresh what it is for"
    return f"{own} is lost, because only {by} sets up what it is for"


def _advice(lost: Lost) -> str:
    if lost.by is None:
        return f"Set up what {lost.setting.section} is for, or take the line out."
    return f"Move the line behind {_at(lost.by)}."

"""A part is fitted and the firmware has no pin for it.

A part that no setting names is never driven or read. Nothing reports it: the part simply stays as
it is at power-on. The hot-end fan and what a key switches off have rules of their own.
"""

from collections.abc import Iterator

from attrs import evolve

from pincheck import styles
from pincheck.analysis import polarity, roles
from pincheck.analysis.case import Case, fact, origin
from pincheck.analysis.pairings import home, pairings, same_job
from pincheck.model.claim import Claim, PinValue, Place
from pincheck.model.finding import Change, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.model.role import sibling
from pincheck.rules.rule import Outcomes, example, rule


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("gcode", ("toolhead.g", 'M950 S0 C"servo0"', ';M950 S0 C"servo0"')),
    quiet=example("gcode", ("toolhead.g", 'M950 S0 C"servo0"', 'M950 S0 C"pa1"')),
)
def role_not_configured(case: Case) -> Outcomes:
    """Look at every fitted role with a chip pin that no active claim reaches."""
    paired = pairings(case)
    # A part whose neighbour on the same pin is claimed elsewhere is named with the neighbour.
    claimed = {pairing.place for pairing in paired} | {pairing.home for pairing in paired}
    led: list[Wired] = []
    misnamed: dict[str, list[tuple[Wired, Claim]]] = {}
    for wired in case.trace.wired:
        place = home(wired)
        told = roles.family(wired.role) == "hotend.fan" or wired.role in case.claims.switched_off
        if place is None or place in claimed or told:
            continue
        if any(home(other) == place and same_job(other.role, wired.role) for other in led):
            continue
        claim = _mates_doubt(case, wired) or case.known(wired.role, "pin")
        if isinstance(claim, Unchecked):
            yield claim
        elif claim is None and (line := _in_no_section(case, place)):
            misnamed.setdefault(line.setting.section if line.setting else "", []).append(
                (wired, line)
            )
        elif roles.function(wired.role) == "motor" and claim is None:
            yield Unchecked(wired.role, "pin", "the files name no pins for this motor")
        elif other := case.used_elsewhere(wired, place):
            yield other
        elif claim is None or _absent(claim):
            led.append(wired)
            yield _finding(case, wired, claim)
    for section, lines in misnamed.items():
        yield _misnamed(case, section, lines)


def _in_no_section(case: Case, place: Place) -> Claim | None:
    """Return the line that names the pin in a section which the firmware surely does not know."""
    style = styles.of(case.claims.style)
    for line in case.claims.elsewhere:
        named = isinstance(line.value, PinValue) and case.same(line.value.place, place)
        if named and line.setting and not line.doubt and style.meant(line.setting.section):
            return line
    return None


def _misnamed(case: Case, section: str, lines: list[tuple[Wired, Claim]]) -> Finding:
    style = styles.of(case.claims.style)
    meant = style.place(style.meant(section))
    names = roles.listed([f"the {roles.name(wired.role)}" for wired, _ in lines])
    return Finding(
        severity=Severity.FAULT,
        spots=tuple((wired.role, "pin") for wired, _ in lines),
        message=(
            f"{style.place(section)} ({origin(lines[0][1])}) is no section that the firmware "
            f"knows: it refuses to start. {meant} is spelt nearly so; it is meant for {names}."
        ),
        claims=tuple(evolve(line, role=wired.role) for wired, line in lines),
        facts=tuple(
            fact(wired, "pin", case.at(place)) for wired, _ in lines if (place := home(wired))
        ),
        advice=f"Call it {meant}.",
    )


def _mates_doubt(case: Case, wired: Wired) -> Unchecked | None:
    """Return why it is not certain that a part of the same kind on the same pin is not driven."""
    for mate in case.trace.wired:
        if mate.role != wired.role and same_job(mate.role, wired.role):
            known = case.known(mate.role, "pin")
            if home(mate) == home(wired) and isinstance(known, Unchecked):
                return Unchecked(wired.role, "pin", known.reason)
    return None


def _absent(claim: Claim) -> bool:
    return isinstance(claim.value, PinValue) and claim.value.absent


def _finding(case: Case, wired: Wired, claim: Claim | None) -> Finding:
    role, place = wired.role, home(wired)
    assert place is not None
    claim = claim or case.claims.commented_out.get(role)
    changes = [Change(role, "pin", PinValue(place.pin, place), claim)]
    watched = roles.function(role) == "tachometer"
    if polarity.pull_needed(wired) and case.claims.find(role, "pull") is None:
        changes.append(Change(role, "pull", polarity.pull_needed(wired), claim))
    if polarity.must_invert(wired) and case.claims.find(role, "inverted") is None:
        changes.append(Change(role, "inverted", True, claim))
    # a line that is switched on brings its other letters along
    changes += () if claim else _beside(case, wired)
    mates = (
        other.role
        for other in case.trace.wired
        if home(other) == place and same_job(other.role, role)
    )
    severity = Severity.ADVICE if watched else Severity.FAULT
    if roles.stops_the_nozzle(role, case.trace.roles()):
        severity = Severity.DANGER
    return Finding(
        severity=severity,
        spots=tuple((each, "pin") for each in dict.fromkeys((role, *mates))),
        message=(
            f"Nothing in the configuration uses {case.at(place)}, where the {roles.name(role)} is "
            f"wired: it {roles.left_alone(role)}."
        ),
        claims=(claim,) if claim else (),
        facts=(fact(wired, "pin", case.at(place)),),
        changes=tuple(changes),
    )


def _beside(case: Case, wired: Wired) -> Iterator[Change]:
    """Yield what else has to be said of a part that no line speaks of."""
    role, kind = wired.role, wired.part.probe_kind
    said = case.claims.find(role, "probe_kind")
    if roles.function(role) == "signal" and kind and not said:
        yield Change(role, "probe_kind", kind)
    if roles.function(role) == "heater" and not case.claims.find(role, "regulated_by"):
        sensor = str(sibling(role, "sensor"))
        if case.claims.has_words_for("regulated_by") and case.claims.find(sensor, "pin"):
            yield Change(role, "regulated_by", sensor)

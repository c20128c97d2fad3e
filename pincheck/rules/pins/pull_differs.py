"""An end stop or filament switch lacks the pull that it needs.

A switch or an open output only pulls one way. Without a resistor on the board or a pull switched
on in the chip the open line floats and picks up the motors' noise: the end stop triggers at
random or never. Probes and tachometers have rules of their own.
"""

from pincheck.analysis import polarity, roles
from pincheck.analysis.case import Case, fact
from pincheck.model.claim import Claim, Place
from pincheck.model.finding import Agreement, Change, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule

_FLOATS = {
    "signal": "the nozzle meets the bed before the probe is believed",
    "tachometer": "the speed shown is noise, or 0 while the fan turns",
}
_OWN_RULE = _FLOATS.keys()


@rule(
    Severity.FAULT,
    source="common practice",
    fires=example("section", ("machine.cfg", "endstop_pin: ^PC0", "endstop_pin: PC0")),
    quiet=example(
        "section",
        ("machine.cfg", "endstop_pin: ^PC0", "endstop_pin: PC0"),
        (
            "boards/heron-2.toml",
            '[nets.XSTOP]\nchip_pin = "PC0"',
            '[nets.XSTOP]\nchip_pin = "PC0"\npullup = { ohm = 4700, to_v = 3.3 }',
        ),
    ),
)
def pull_differs(case: Case) -> Outcomes:
    """Compare the claimed pull of every end stop with what its part and its board need."""
    for wired in case.trace.wired:
        if polarity.reads_input(wired) and roles.function(wired.role) not in _OWN_RULE:
            yield from missing_pull(case, wired)


def missing_pull(case: Case, wired: Wired) -> Outcomes:
    """Yield what the pull of one input comes to."""
    role, need = wired.role, polarity.pull_needed(wired)
    if wired.place is None or case.claims.find(role, "pin") is None:
        return
    found = polarity.pull(case, role)
    if isinstance(found, Unchecked):
        yield found
        return
    claim, pull = found
    against = wired.signal.needs_pull and pull not in ("none", wired.signal.needs_pull)
    beaten = bool(against and polarity.outweighs(wired))
    # A pin that cannot pull leaves the line alone, whatever the firmware asks of it.
    cannot = need != "" and _cannot_pull(case, wired.place)
    # One switch of the define style pulls all end stops: a strong resistor makes it no matter.
    no_matter = beaten and claim and _shared(case, claim)
    if (not against and need in ("", pull) and not cannot) or no_matter:
        yield Agreement(role, "pull")
        return
    want = wired.signal.needs_pull or "none"
    mine = roles.name(role)
    if cannot:
        text = (
            f"{case.at(wired.place)} has no pull of its own, and nothing else pulls the {mine}'s "
            f"line {want}"
        )
    elif against:
        text = f"The chip pulls the {mine}'s line {pull}, its part needs it pulled {want}"
    else:
        text = f"Nothing pulls the {mine}'s line {want} while its part lets go of it"
    end = _FLOATS.get(roles.function(role), "it triggers at random or never")
    if beaten:
        effect = "the board's resistor is stronger, but the level comes nearer to a wrong reading"
    else:
        effect = f"the level floats, and {end}"
    yield Finding(
        severity=Severity.ADVICE if beaten else Severity.FAULT,
        spots=((role, "pull"),),
        message=f"{text}: {effect}.",
        claims=tuple(filter(None, (claim or case.claims.find(role, "pin"),))),
        facts=(fact(wired, "pull", f"part needs a pull {want}"),),
        # What the board does already the chip need not do again.
        changes=() if cannot else (Change(role, "pull", need or "none", claim),),
        advice=f"Fit a resistor that pulls the line {want}, or use another pin." if cannot else "",
    )


def _cannot_pull(case: Case, place: Place) -> bool:
    pin = case.chip_pin(place)
    return pin is not None and not {"input-only", "open-drain"}.isdisjoint(pin.special)


def _shared(case: Case, claim: Claim) -> bool:
    """Return whether the setting that pulls this line pulls another one too."""
    others = (c for c in case.claims.all if c.attribute == "pull" and c.role != claim.role)
    return claim.setting is not None and any(c.setting is claim.setting for c in others)

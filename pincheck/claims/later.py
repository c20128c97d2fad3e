"""What the machine believes after scripts that events start, where that differs from start-up."""

from collections.abc import Iterable, Iterator

from attrs import evolve

from pincheck.claims.interpretation import Interpretation, thing_of
from pincheck.claims.numbers import read_word
from pincheck.claims.shown import text_of
from pincheck.model.claim import Claim, PinValue
from pincheck.model.setting import Activity, Setting


def later_claims(
    machine: Interpretation, settings: Iterable[Setting], now: Iterable[Claim], then: list[Claim]
) -> Iterator[Claim]:
    """Yield each claim that `settings` change from `now` to `then`, at the line that does so.

    `machine` is the one after them. A claim that is gone is a fan's that watches no heater.
    """
    lines: dict[tuple[str, str], Setting] = {}
    for match in machine.matches_of_all(settings):
        for role, _ in machine.roles(match.entry, match.groups, text_of(match.setting)):
            lines[role, match.entry.attribute] = lines[role, ""] = match.setting
    before = {(c.role, c.attribute): c for c in now if c.active}
    after = {(c.role, c.attribute): c for c in then if c.active}
    for spot in before | after:
        line = lines.get(spot) or lines.get((spot[0], ""))
        was, comes = before.get(spot), after.get(spot)
        if line is None or (was and comes and was.value == comes.value):
            continue
        if comes:
            yield evolve(comes, setting=comes.setting or line)
        elif spot[1] == "watches":
            yield Claim(*spot, "none", line)


def probing_claims(machine: Interpretation) -> Iterator[Claim]:
    """Yield what the probe's own scripts do to its servo: `deploy`, `stow` or `nothing`.

    What they say to another servo counts for neither.
    """
    for word, settings in machine.reading.probing.items():
        if ("probe", 0) not in (machine.groups.of("servo", n) for n in machine.things.of("servo")):
            return
        attribute = "deployed_by" if word == "deploy" else "stowed_by"
        told = Claim("probe.servo", attribute, "nothing", origin=f"the script that is to {word} it")
        for match in machine.matches_of_all(settings):
            thing = thing_of(match.entry, match.groups)
            if match.setting.activity is not Activity.LATER:
                # a command that is commented out shows the line of what is not said
                idle = match.entry.link == "command of servo" and told.value == "nothing"
                told = evolve(told, setting=match.setting) if idle else told
                continue
            known = thing and thing[1] in machine.things.of("servo")
            if match.entry.link == "servo moved" and not known:
                told = evolve(told, unknown="it moves a servo that is not set up")
            if match.entry.link == "command of servo" and thing:
                if machine.groups.of(*thing) != ("probe", 0):
                    continue
                text, unknown = text_of(match.setting), match.setting.unknown
                try:
                    said = read_word(text, match.entry.words)
                except ValueError as error:
                    said, unknown = text, unknown or str(error)
                if match.setting.condition:
                    unknown = f"it is sent only if {match.setting.condition}"
                told = Claim("probe.servo", attribute, said, match.setting, unknown=unknown)
        yield told


def homing_claims(machine: Interpretation, kept: Iterable[Claim]) -> Iterator[Claim]:
    """Yield what Z homes by where no line sets its end stop up and its scripts are there.

    A move that is to end at an end stop finds none then; G30 ends where the probe triggers.
    """
    if any((claim.role, claim.attribute) == ("z.endstop", "homing_pin") for claim in kept):
        return
    homing = machine.reading.homing
    stopped = {_line(s) for s in homing if s.name in ("G1 H", "G0 H") and text_of(s) == "1"}
    moves = (s for s in homing if s.key == "Z" and _line(s) in stopped)
    if line := next(moves, None):
        yield Claim("z.endstop", "homing_pin", PinValue("", absent=True), line)
    elif line := next((s for s in homing if s.section == "G30"), None):
        yield Claim("z.endstop", "homing_pin", PinValue("probe", virtual=True), line)


def _line(setting: Setting) -> tuple[str, int]:
    return setting.source.name, setting.span.line

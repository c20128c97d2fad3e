"""Each claimed pin beside the copper, sorted once so that every pin rule takes its own share."""

from collections.abc import Iterator, Mapping
from typing import Literal

from attrs import evolve

from pincheck import styles
from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.model.claim import Claim, PinValue, Place
from pincheck.model.finding import Change, Fact
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired

PairingKind = Literal[
    "agrees",
    "missing-on-chip",
    "swapped",
    "fan-on-heater",
    "heater-on-fan",
    "claimed-twice",
    "spare",
    "differs",
    "not-fitted",
]
"""What is wrong with a claim; `spare` is one more pin of a role that is driven already."""


@frozen
class Pairing:
    """One certain pin claim beside the copper.

    `reached` is what the claimed pin really reaches, `wired` what is fitted for the role (None:
    nothing) and `home` the pin that it reaches. `partner` is the role that it is swapped with,
    `rival` the claim of another role on the same pin.
    """

    role: str
    claim: Claim
    place: Place
    wired: Wired | None
    home: Place | None
    reached: tuple[Wired, ...]
    partner: str = ""
    rival: Claim | None = None
    kind: PairingKind = "agrees"

    def spots(self, case: Case) -> tuple[tuple[str, str], ...]:
        """Return the verdicts at stake: the role's, and those of unclaimed parts on its pin."""
        there = at_home(case).get(self.home, ()) if self.home else ()
        mates = (wired.role for wired in there if not case.claims.find(wired.role, "pin"))
        return tuple((role, "pin") for role in dict.fromkeys((self.role, *mates)))

    def fact(self, case: Case) -> Fact | None:
        """Return where the role's part really hangs."""
        if self.wired is None or self.home is None:
            return None
        return fact(self.wired, "pin", case.at(self.home))

    def facts(self, case: Case) -> tuple[Fact, ...]:
        """Return the role's own fact and those of what the claimed pin reaches."""
        own = self.fact(case)
        others = (fact(wired, "pin", case.at(self.place)) for wired in self.reached)
        return (*((own,) if own else ()), *others)

    def change(self) -> tuple[Change, ...]:
        """Return the change that puts the claim on the role's real pin."""
        if self.home is None:
            return ()
        return (Change(self.role, "pin", PinValue(self.home.pin, self.home), self.claim),)


def home(wired: Wired) -> Place | None:
    """Return the chip pin of a part; of a motor, the step pin of its driver."""
    driver = wired.path.driver
    if wired.place or driver is None or not driver.step_pin:
        return wired.place
    board = next((hop.board for hop in wired.path.hops if hop.kind == "driver"), "")
    return Place(board, driver.step_pin) if board else None


def at_home(case: Case) -> Mapping[Place, tuple[Wired, ...]]:
    """Return what is fitted on each chip pin, in the order of the fits."""
    if "at home" not in case.kept:
        parts: dict[Place, list[Wired]] = {}
        for wired in case.trace.wired:
            if place := home(wired):
                parts.setdefault(place, []).append(wired)
        case.kept["at home"] = {place: tuple(there) for place, there in parts.items()}
    kept: Mapping[Place, tuple[Wired, ...]] = case.kept["at home"]
    return kept


def same_job(role: str, other: str) -> bool:
    """Return whether driving one is driving the other: fans of one family, or a spare fan output.

    A role of the group `aux` is whatever the user calls it, so it stands for any of its function.
    """
    if roles.function(role) != roles.function(other):
        return False
    if roles.family(role) == roles.family(other):
        return roles.function(role) in ("fan", "output")
    return "aux" in (roles.family(role).split(".")[0], roles.family(other).split(".")[0])


def pairings(case: Case) -> tuple[Pairing, ...]:
    """Return every certain claim of a real pin, each with the one thing that is wrong with it."""
    if "pairings" not in case.kept:
        claimed = tuple(_pairings(case))
        found = tuple(pairing for pairing in claimed if not _merely_offered(pairing, claimed))
        case.kept["pairings"] = tuple(_sorted_out(pairing, found, case) for pairing in found)
    kept: tuple[Pairing, ...] = case.kept["pairings"]
    return kept


def _pairings(case: Case) -> Iterator[Pairing]:
    for role in case.roles:
        if not isinstance(case.known(role, "pin"), Claim):
            continue
        wired = case.trace.find(role)
        for claim in case.claims.of(role):
            pin = claim.value
            if claim.attribute != "pin" or claim.doubt or not isinstance(pin, PinValue):
                continue
            if pin.place is None or pin.virtual:
                continue
            place = evolve(pin.place, board=pin.place.board or case.assembly.main)
            reached = at_home(case).get(place, ())
            own = home(wired) if wired else None
            yield Pairing(role, claim, place, wired, own, reached)


def _merely_offered(pairing: Pairing, claimed: tuple[Pairing, ...]) -> bool:
    """Tell whether no line of the user's asks for the pin, and the part is driven by another."""
    if pairing.claim.setting or pairing.home in (None, pairing.place):
        return False
    others = tuple(other for other in claimed if other.role != pairing.role)
    return pairing.home is not None and _is_driven(pairing.role, pairing.home, others)


def _sorted_out(pairing: Pairing, all_: tuple[Pairing, ...], case: Case) -> Pairing:
    role, place = pairing.role, pairing.place
    reached = [wired.role for wired in pairing.reached]
    rest = [other for other in all_ if other.role != role]
    if _lacks(case, place):
        return evolve(pairing, kind="missing-on-chip")
    driven = pairing.home is None or _is_driven(role, pairing.home, all_)
    stands_in = any(same_job(role, r) and not case.claims.find(r, "pin") for r in reached)
    if pairing.home == place or (driven and stands_in):
        second = pairing.home != place and _refused(case, pairing, rest)
        return evolve(pairing, kind="claimed-twice", rival=second.claim) if second else pairing
    partner = _partner(pairing, all_)
    if partner and not driven and _partner(partner, all_) is pairing:
        return evolve(pairing, kind="swapped", partner=partner.role)
    functions = {roles.function(other) for other in reached}
    if roles.function(role) == "heater" and "fan" in functions:
        return evolve(pairing, kind="heater-on-fan")
    if roles.function(role) in ("fan", "output", "servo") and "heater" in functions:
        return evolve(pairing, kind="fan-on-heater")
    if pairing.wired and driven and not reached:
        return evolve(pairing, kind="spare")
    clashes = (o for o in rest if o.place == place and not shareable(role, o.role))
    rival = _refused(case, pairing, rest) or next(clashes, None)
    if rival and (not reached or rival.role in reached):
        return evolve(pairing, kind="claimed-twice", rival=rival.claim)
    return evolve(pairing, kind="differs" if pairing.wired else "not-fitted")


def _refused(case: Case, pairing: Pairing, rest: list[Pairing]) -> Pairing | None:
    """Return another fan's line for the same pin where the firmware takes only one."""
    place = pairing.place
    if not styles.of(case.claims.style).one_setting_a_pin or place in case.claims.allowed_twice:
        return None
    fans = (o for o in rest if {roles.function(o.role), roles.function(pairing.role)} == {"fan"})
    lines = (o for o in fans if o.claim.setting is not pairing.claim.setting)
    return next((o for o in lines if o.place == place), None)


def _partner(pairing: Pairing, all_: tuple[Pairing, ...]) -> Pairing | None:
    there = {wired.role for wired in pairing.reached}
    return next((o for o in all_ if o.role in there and o.place == pairing.home), None)


def _lacks(case: Case, place: Place) -> bool:
    chip = case.chip_on(place.board)
    return chip is not None and "pins" in chip.knows and place.pin not in chip.pins


def _is_driven(role: str, place: Place, all_: tuple[Pairing, ...]) -> bool:
    """Tell whether a claim of the same job drives a pin, and is not a stray one from elsewhere."""
    return any(
        o.place == place
        and (o.role == role or (same_job(role, o.role) and o.home in (None, place)))
        for o in all_
    )


def shareable(role: str, other: str) -> bool:
    """Return whether two roles may name one pin: an endstop and the probe, or two of a kind."""
    kinds = {roles.function(role), roles.function(other)}
    alike = roles.family(role) == roles.family(other) and not kinds & {"heater", "tachometer"}
    return alike or same_job(role, other) or kinds == {"endstop", "signal"} or kinds == {"motor"}

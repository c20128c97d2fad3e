"""What holds of the edit suggested for a planted fault, whatever the machine and its style."""

import re
from collections.abc import Callable, Iterator, Sequence

from pincheck.edits.trial import attempt, key
from pincheck.intake import Machine
from pincheck.model.claim import Claims
from pincheck.model.finding import Edit, Proposal, Result
from pincheck.model.source import Source

_LIMITS = {
    "max_c": 1,
    "max_power": 1,
    "trip_period_s": 1,
    "trip_hysteresis_c": 1,
    "watch_period_s": 1,
    "max_error_ks": 1,
    "min_c": -1,
    "overshoot_c": -1,
    "watch_increase_c": -1,
}
"""Figures of heaters and sensors that protect, and the direction in which they protect less."""
_SAID = ("Raises", "Weakens", "Lowers", "Switches")
_NOTHING = re.compile(r": (?P<old>[^;]+) becomes (?P=old)(?:;|$)")
_TO_DO = re.compile(
    r"(?:^|[.:;,] |\bor )(?:Change|Compare|Exchange|Feed|Fit|Give|Leave|Let|"
    r"Move|Put|Set|Take|Wire|Write|re-plug)\b"
)


def broken(
    machine: Machine, result: Result, proposal: Proposal, check: Callable[[Machine], Result]
) -> Iterator[str]:
    """Yield every law that a proposal breaks."""
    if not proposal.edits:
        if not _tells_what_to_do(proposal.blocked):
            yield f"does not tell a person what to do: {proposal.blocked!r}"
        return
    trial = attempt(machine, result, [proposal], check)
    if trial.applied != (proposal,):
        yield f"the edit does not work: {trial.refused} ({proposal.note})"
        return
    if _NOTHING.search(proposal.note):
        yield f"changes nothing into the same: {proposal.note}"
    after = {(v.role, v.attribute): v for v in trial.result.verdicts}
    for spot in proposal.finding.spots:
        # A pin moved home may be one that the copper leaves open, as it does on the clean machine;
        # so is a bead whose curve is only known by its class, whatever its table says.
        open_ = spot in after and after[spot].state == "not checked"
        if open_ and spot[1] != "pin" and "the part's curve is known" not in after[spot].reason:
            yield f"hides {spot} instead of mending it: {after[spot].reason}"
    before = {key(f): f for f in result.findings}
    for finding in trial.result.findings:
        old = before.get(key(finding))
        if old is None or finding.severity > old.severity:
            yield f"the edit brings or worsens {finding.rule}: {finding.message}"
    weaker = list(_weaker(result.claims, trial.result.claims))
    said = proposal.note.startswith(_SAID)
    if weaker and (not said or proposal.safe):
        yield f"weakens {weaker} without saying so first: {proposal.note}"
    for old_source, new_source in zip(machine.sources, trial.machine.sources, strict=True):
        own = [edit for edit in proposal.edits if edit.source == old_source.name]
        if not _untouched(old_source, new_source, own):
            yield f"more of {old_source.name} changed than the edits say"


def _tells_what_to_do(reason: str) -> bool:
    return reason[:1].isupper() and reason.endswith(".") and bool(_TO_DO.search(reason))


def _weaker(before: Claims, after: Claims) -> Iterator[str]:
    """Yield the figures that protect less than before, and protections that are gone."""
    for claim in before.all:
        new = after.find(claim.role, claim.attribute)
        if not claim.active or new is None or not claim.role.endswith(("heater", "sensor")):
            continue
        if claim.attribute == "protection" and claim.value is True and new.value is False:
            yield f"{claim.role} protection"
        way = _LIMITS.get(claim.attribute)
        if way is None or claim.unknown or not isinstance(claim.value, float):
            continue
        # a watch of no time is none: any is more than that
        off = claim.attribute == "watch_period_s" and claim.value == 0
        if isinstance(new.value, float) and not off and way * (new.value - claim.value) > 0:
            yield f"{claim.role} {claim.attribute} from {claim.value:g} to {new.value:g}"


def _untouched(old: Source, new: Source, edits: Sequence[Edit]) -> bool:
    """Tell whether the bytes are the old ones but for the stretches of the edits."""
    data, at = old.bom, 0
    for edit in sorted(edits, key=lambda edit: (edit.start, edit.end)):
        data += old.text[at : edit.start].encode(old.encoding)
        data += edit.replacement.encode(old.encoding)
        at = edit.end
    return data + old.text[at:].encode(old.encoding) == new.data

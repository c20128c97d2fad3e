"""All claims of one machine."""

from collections.abc import Iterable, Iterator, Mapping
from operator import itemgetter

from attrs import evolve

from pincheck.claims.built_in import vocabulary as built_in
from pincheck.claims.convert import claims_of
from pincheck.claims.defaults import defaults, doubts, without_effect
from pincheck.claims.driver_lines import driver_lines
from pincheck.claims.elsewhere import allowed_twice, elsewhere
from pincheck.claims.entry import Vocabulary
from pincheck.claims.interpretation import Interpretation
from pincheck.claims.later import homing_claims, later_claims, probing_claims
from pincheck.claims.lost import lost_claims, replaced
from pincheck.claims.numbered import numbered_pins
from pincheck.claims.shown import SEEN, text_of
from pincheck.claims.stock import mainboard, other_board, stock_pins, without_spares
from pincheck.claims.switched_off import commented_out, switched_off
from pincheck.model.claim import Claim, Claims, PinValue
from pincheck.model.reading import Reading
from pincheck.model.role import split
from pincheck.model.setting import Setting
from pincheck.model.wiring import Assembly

Pair = tuple[Claim, Claim]


def claims(
    reading: Reading, assembly: Assembly | None, vocabulary: Vocabulary | None = None
) -> Claims:
    """Return what the firmware believes, as far as the files say it.

    Without an assembly, pins are named as the files name them.

    Raises:
        UnreadableError: the files hold more of it than any machine has.
    """
    machine = Interpretation(reading, assembly, vocabulary or built_in(reading.style))
    made: list[Claim] = []
    bounds: list[tuple[Claim, bool]] = []
    for match in machine.matches:
        found, entry = claims_of(machine, match), match.entry
        if entry.least or entry.most:
            bounds.extend((claim, entry.most) for claim in found)
        else:
            made.extend(found)
    kept, overridden = _settled(made)
    board, board_doubt = None, ""
    if machine.style.board_header:
        board, board_doubt = mainboard(machine)
        if board:
            kept += stock_pins(machine, board, kept)
        kept = without_spares(machine, kept)
    kept += numbered_pins(machine)
    kept += driver_lines(machine, board, kept)
    kept += defaults(machine, kept)
    kept += probing_claims(machine)
    kept += homing_claims(machine, kept)
    kept = _bounded(kept, bounds)
    kept = [_doubted(claim, board_doubt) for claim in _open_to_later_files(machine, kept)]
    other_pins = tuple(elsewhere(machine, kept))
    corrected = {
        match.setting.section: match.setting
        for match in machine.matches
        if match.entry.link == "correction of sensor" and text_of(match.setting).strip("-0.")
    }
    kept = [_gated(_shifted(claim, corrected), other_pins) for claim in kept]
    understood = {id(match.setting) for match in machine.matches}
    lost = tuple(lost_claims(machine, kept))
    afresh = tuple(replaced(lost, kept))
    gone = {id(loser) for loser, _ in afresh}
    return Claims(
        style=reading.style,
        all=tuple(kept),
        overridden=_once((*overridden, *_overridden_settings(machine, kept), *afresh)),
        lost=tuple((claim, why) for claim, why in lost if id(claim) not in gone),
        doubts=tuple(doubts(machine, board_doubt, kept)),
        without_effect=without_effect(machine),
        switched_off={claim.role: claim for claim in switched_off(machine, kept)},
        commented_out={claim.role: claim for claim in commented_out(machine, kept)},
        not_understood=tuple(_not_understood(machine, understood)),
        not_sent=reading.not_sent,
        apart=machine.apart,
        attributes=machine.vocabulary.attributes,
        elsewhere=other_pins,
        allowed_twice=allowed_twice(machine),
        other_board=other_board(machine),
        chips=frozenset(machine.things.of("chip")),
        later=tuple(_later(machine, kept)),
    )


def _later(machine: Interpretation, kept: list[Claim]) -> Iterator[Claim]:
    for later in machine.reading.later:
        after = Interpretation(later.reading, machine.assembly, machine.vocabulary)
        then = claims(later.reading, machine.assembly, machine.vocabulary)
        yield from later_claims(after, later.settings, kept, list(then.all))


def _settled(made: Iterable[Claim]) -> tuple[list[Claim], list[Pair]]:
    """Return the claims that hold, and those that a later one overrides.

    A possible claim before a certain one of the same spot has no effect; one behind it makes
    the certain one uncertain. A line that may have no effect is not told to override another.
    """
    spots: dict[tuple[str, str], list[Claim]] = {}
    for claim in made:
        spots.setdefault((claim.role, claim.attribute), []).append(claim)
    kept: list[Claim] = []
    overridden: list[Pair] = []
    for found in spots.values():
        certain = [claim for claim in found if claim.active]
        if not certain:
            kept += found
            continue
        last = certain[-1]
        several = last.attribute in ("pin", "watches")
        winners = [c for c in certain if c.setting is last.setting] if several else [last]
        others = [c for c in certain if c.setting is not last.setting]
        overridden += ((c, last) for c in others if not (c.unknown or last.unknown))
        later = [c for c in found[found.index(last) :] if not c.active]
        rival = next((c for c in later if c.value != last.value), None)
        kept += (evolve(w, unknown=w.unknown or rival.doubt) for w in winners) if rival else winners
        kept += later
    return kept, overridden


def _bounded(kept: list[Claim], bounds: Iterable[tuple[Claim, bool]]) -> list[Claim]:
    """Return the claims with each further bound in the place of the one that it outdoes.

    The lower of two counts, or the higher where a bound is of that kind.
    """
    for bound, higher in bounds:
        at = next((n for n, c in enumerate(kept) if c.active and _spot(c) == _spot(bound)), None)
        if at is None:
            kept.append(bound)
        elif not isinstance(bound.value, float) or bound.doubt:
            kept[at] = evolve(kept[at], unknown=kept[at].unknown or bound.doubt)
        elif isinstance(now := kept[at].value, float) and (
            bound.value > now if higher else bound.value < now
        ):
            kept[at] = bound
    return kept


def _spot(claim: Claim) -> tuple[str, str]:
    return claim.role, claim.attribute


def _open_to_later_files(machine: Interpretation, kept: Iterable[Claim]) -> Iterator[Claim]:
    """Yield the claims, those with a caveat that a file not sent could override further on.

    Where files do not override each other, what is not sent may still undo a line, or decide which
    branches count, wherever it stands.
    """
    order = {id(setting): at for at, setting in enumerate(machine.reading.settings)}
    anywhere = not machine.style.files_override
    asked = [(order.get(id(n.asked_by), -1), n) for n in machine.not_sent if n.asked_by]
    last, missing = max(asked, key=itemgetter(0), default=(-1, None))
    for claim in kept:
        at = order.get(id(claim.setting), len(order))
        if missing and (anywhere or last > at or (claim.setting and claim.setting.saved)):
            caveat = f"{missing.name} was not {missing.verb} and could override it"
            yield evolve(claim, caveat=caveat)
        else:
            yield claim


def _gated(claim: Claim, other_pins: Iterable[Claim]) -> Claim:
    """Return a claim, a fan's pin with the caveat that its section names one more for it."""
    section = claim.setting.section if claim.setting else ""
    if not section or claim.attribute != "pin" or split(claim.role)[2] != "fan":
        return claim
    lines = (it.setting for it in other_pins if it.setting and it.setting.section == section)
    if line := next(lines, None):
        at = f"{line.source.name}:{line.span.line}"
        told = f"{line.key} at {at} has to be on, too, and the wiring does not say where that is"
        return evolve(claim, caveat=claim.caveat or told)
    return claim


def _shifted(claim: Claim, corrected: Mapping[str, Setting]) -> Claim:
    """Return a claim, a sensor's table with the caveat that its readings are corrected."""
    line = corrected.get(claim.setting.section) if claim.setting else None
    if line is None or claim.attribute != "table":
        return claim
    at = f"{line.source.name}:{line.span.line}"
    told = f"{line.key}{line.value} at {at} corrects the converter, by what only a meter tells"
    return evolve(claim, caveat=claim.caveat or told)


def _doubted(claim: Claim, board_doubt: str) -> Claim:
    if board_doubt and isinstance(claim.value, PinValue) and not claim.unknown:
        return evolve(claim, unknown=board_doubt)
    return claim


def _overridden_settings(machine: Interpretation, kept: Iterable[Claim]) -> Iterator[Pair]:
    winners = {(c.role, c.attribute): c for c in reversed(list(kept))}
    for match in machine.matches_of_all(loser for loser, _ in machine.reading.overridden):
        for claim in claims_of(machine, match):
            winner = winners.get((claim.role, claim.attribute))
            if winner and winner.setting is not match.setting:
                yield claim, winner


def _once(pairs: Iterable[Pair]) -> tuple[Pair, ...]:
    """Return every pair once: readers tell some of them, and what is left shows here."""
    named = {(p[0].role, p[0].attribute, str(p[0].setting and p[0].setting.span)): p for p in pairs}
    return tuple(named.values())


def _not_understood(machine: Interpretation, understood: set[int]) -> Iterator[Setting]:
    for setting in machine.reading.settings:
        if setting.activity not in SEEN or id(setting) in understood or not setting.key:
            continue
        if machine.vocabulary.looks_relevant(setting):
            yield setting

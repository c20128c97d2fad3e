"""Two configurations claim by claim, without any wiring."""

from collections.abc import Iterator

from attrs import evolve

from pincheck import styles
from pincheck.claims import Vocabulary
from pincheck.compare.difference import CLAIM_STATES, ClaimChange, ClaimState
from pincheck.compare.same_value import compared
from pincheck.maker.believed import believed
from pincheck.maker.says import has_key
from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.claim import Claim, Claims, PinValue
from pincheck.model.frozen import frozen
from pincheck.model.role import order
from pincheck.reports.sentences import value_text

_UNSAID: dict[str, bool | str] = {"inverted": False, "pull": "none"}
_PINS = ("pin", "homing_pin")
_FOLDED = "overshoot_c"
"""A margin of one style is part of the limit in another, so limits are compared less margin."""

_OWN_WAY = frozenset(
    name for name, it in ATTRIBUTES.items() if it.column == "protection" and it.kind != "flag"
)
_DEFAULT = "one side has its firmware's default, and nobody knows that of the other style"
_PROTECTS = "each style protects heaters in a way of its own"


@frozen
class Side:
    """One configuration: what it claims, and every key that its style has.

    `board_known` tells whether a board's file explained stock pins and the board's own names.
    """

    name: str
    claims: Claims
    vocabulary: Vocabulary
    board_known: bool = False

    def implied(self, role: str, attribute: str) -> Claim | None:
        """Return a claim, or what holds without one: no inversion, the pull-up of a table."""
        claim = self.claims.find(role, attribute)
        if claim or role not in self.claims.roles():
            return claim
        if attribute in _UNSAID and not self.claims.doubt(role, attribute):
            return Claim(role, attribute, _UNSAID[attribute], origin="nothing says otherwise")
        table = self.claims.find(role, "table") if attribute == "pullup_ohm" else None
        sensor = believed(table, self.claims)
        if sensor and sensor.pullup_ohm and styles.of(self.claims.style).tables_have_pullup:
            return Claim(role, attribute, sensor.pullup_ohm, origin="the table's own")
        return None


@frozen
class Comparison:
    """Two configurations side by side."""

    before: Side
    after: Side
    changes: tuple[ClaimChange, ...]

    def of(self, state: ClaimState) -> tuple[ClaimChange, ...]:
        """Return every change of one state."""
        return tuple(change for change in self.changes if change.state == state)

    @property
    def differs(self) -> bool:
        """Whether anything is certainly not the same."""
        return any(change.state not in ("same", "not comparable") for change in self.changes)

    @property
    def open(self) -> bool:
        """Whether something could not be compared that another file might have told."""
        told = [change for change in self.changes if not change.by_style]
        return not told or any(change.state == "not comparable" for change in told)


def compare_configurations(before: Side, after: Side) -> Comparison:
    """Return what changed from one configuration to the other, worst first within a role."""
    found = sorted(_changes(before, after), key=lambda c: (order(c.role), _rank(c)))
    return Comparison(before, after, tuple(found))


def _rank(change: ClaimChange) -> tuple[int, int]:
    return list(ATTRIBUTES).index(change.attribute), CLAIM_STATES.index(change.state)


def _changes(before: Side, after: Side) -> Iterator[ClaimChange]:
    roles = before.claims.roles(), after.claims.roles()
    for role in roles[0] | roles[1]:
        if role in roles[0] and role in roles[1]:
            spots = {
                claim.attribute
                for side in (before, after)
                for claim in side.claims.of(role)
                if claim.attribute != _FOLDED
            }
            yield from (_change(role, attribute, before, after) for attribute in spots)
        else:
            yield _lone(role, before, after)


def _lone(role: str, before: Side, after: Side) -> ClaimChange:
    """Return one change for a role that only one side knows of."""
    has, lacks = (before, after) if role in before.claims.roles() else (after, before)
    claim = has.claims.find(role, "pin") or next(has.claims.of(role))
    state: ClaimState = "only before" if has is before else "only after"
    note = "the other configuration says nothing of it"
    if reason := _silent(role, claim.attribute, lacks):
        state, note = "not comparable", reason
    words = _text(has, claim)
    was, is_ = (words, "") if has is before else ("", words)
    first, second = (claim, None) if has is before else (None, claim)
    by_style = not has_key(lacks.vocabulary, role, claim.attribute)
    return ClaimChange(role, claim.attribute, state, was, is_, note, first, second, by_style)


def _change(role: str, attribute: str, before: Side, after: Side) -> ClaimChange:
    one, other = before.implied(role, attribute), after.implied(role, attribute)
    words = _text(before, one), _text(after, other)
    own_way = before.claims.style != after.claims.style and attribute in _OWN_WAY
    if own_way:
        return ClaimChange(
            role, attribute, "not comparable", *words, _PROTECTS, one, other, by_style=True
        )
    if attribute == "max_c" and one and other:
        one, other = _settable(before, one), _settable(after, other)
    if one and other:
        state, note = compared(one, other, (before.claims, after.claims))
    else:
        state, note = _one_sided(role, attribute, before, after)
    if state == "changed" and attribute == "pin" and _pins(before, role) == _pins(after, role):
        state = "same"
    by_style = note == _DEFAULT or not all(
        has_key(side.vocabulary, role, attribute) for side in (before, after)
    )
    return ClaimChange(role, attribute, state, *words, note, one, other, by_style=by_style)


def _pins(side: Side, role: str) -> frozenset[object]:
    claims = (claim for claim in side.claims.of(role) if claim.attribute == "pin")
    return frozenset(c.value.place for c in claims if isinstance(c.value, PinValue))


def _settable(side: Side, limit: Claim) -> Claim:
    """Return a limit less the margin that the firmware keeps below it."""
    margin = side.claims.find(limit.role, _FOLDED)
    if margin is None or isinstance(limit.value, str) or isinstance(margin.value, str):
        return limit
    assert isinstance(limit.value, int | float)
    assert isinstance(margin.value, int | float)
    return evolve(limit, value=limit.value - margin.value, unknown=limit.unknown or margin.doubt)


def _one_sided(role: str, attribute: str, before: Side, after: Side) -> tuple[ClaimState, str]:
    has, lacks = (before, after) if before.implied(role, attribute) else (after, before)
    if reason := _silent(role, attribute, lacks):
        return "not comparable", reason
    claim = has.implied(role, attribute)
    if claim and claim.doubt:
        return "not comparable", claim.doubt
    if claim and claim.setting is None and attribute not in _PINS:
        return "not comparable", _DEFAULT
    return ("only before" if has is before else "only after"), ""


def _silent(role: str, attribute: str, side: Side) -> str:
    """Return why a configuration's silence proves nothing; empty where it does."""
    style = side.claims.style
    if not has_key(side.vocabulary, role, attribute):
        return f"the {style} style has no key for it"
    if attribute in _PINS and styles.of(style).board_header and not side.board_known:
        return "the mainboard's own pins header may set it: name the board's file with --board"
    return side.claims.doubt(role, attribute)


def _text(side: Side, claim: Claim | None) -> str:
    if claim is None:
        return ""
    margin = side.claims.find(claim.role, _FOLDED) if claim.attribute == "max_c" else None
    unit = ATTRIBUTES[claim.attribute].unit
    text = f"{value_text(claim.value)} {unit}".strip()
    return f"{text} - {value_text(margin.value)}" if margin else text

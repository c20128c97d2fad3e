"""The condition calls that configuration headers use without defining them (common practice)."""

from collections.abc import Callable, Iterable

Verdict = bool | None
"""True, false, or nobody knows."""


def every(verdicts: Iterable[Verdict]) -> Verdict:
    """Return whether all hold: one that does not decides, else one that nobody knows."""
    verdicts = set(verdicts)
    return False if False in verdicts else None if None in verdicts else True


def some(verdicts: Iterable[Verdict]) -> Verdict:
    """Return whether at least one holds."""
    verdicts = set(verdicts)
    return True if True in verdicts else None if None in verdicts else False


def none(verdicts: Iterable[Verdict]) -> Verdict:
    """Return whether none holds."""
    return opposite(some(verdicts))


def opposite(verdict: Verdict) -> Verdict:
    """Return the opposite."""
    return None if verdict is None else not verdict


SWITCHES: dict[str, Callable[[Iterable[Verdict]], Verdict]] = {
    "ENABLED": every,
    "DISABLED": none,
    "ALL": every,
    "BOTH": every,
    "ANY": some,
    "EITHER": some,
    "NONE": none,
}
"""Calls that ask whether settings are switched on, by any number of names."""

PINS: dict[str, Callable[[Iterable[Verdict]], Verdict]] = {
    "PIN_EXISTS": every,
    "PINS_EXIST": every,
    "ANY_PIN": some,
}
"""Calls that ask whether pins are assigned: `X` stands for `X_PIN`."""

ON = frozenset(("", "1", "true"))
"""What a setting that is switched on comes to."""

"""The condition calls that configuration headers use without defining them (common practice)."""

from collections.abc import Callable, Iterable

Truth = bool | None
"""True, false, or nobody knows."""


def every(verdicts: Iterable[Truth]) -> Truth:
    """Return whether all hold: one that does not decides, else one that nobody knows."""
    verdicts = set(verdicts)
    return False if False in verdicts else None if None in verdicts else True


def some(verdicts: Iterable[Truth]) -> Truth:
    """Return whether at least one holds."""
    verdicts = set(verdicts)
    return True if True in verdicts else None if None in verdicts else False


def none(verdicts: Iterable[Truth]) -> Truth:
    """Return whether none holds."""
    return opposite(some(verdicts))


def opposite(verdict: Truth) -> Truth:
    """Return the opposite."""
    return None if verdict is None else not verdict


SWITCHES: dict[str, Callable[[Iterable[Truth]], Truth]] = {
    "ENABLED": every,
    "DISABLED": none,
    "ALL": every,
    "BOTH": every,
    "ANY": some,
    "EITHER": some,
    "NONE": none,
}
"""Calls that ask whether settings are switched on, by any number of names."""

PINS: dict[str, Callable[[Iterable[Truth]], Truth]] = {
    "PIN_EXISTS": every,
    "PINS_EXIST": every,
    "ANY_PIN": some,
}
"""Calls that ask whether pins are assigned: `X` stands for `X_PIN`."""

ON = frozenset(("", "1", "true"))
"""What a setting that is switched on comes to."""

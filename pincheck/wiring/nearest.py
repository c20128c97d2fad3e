"""The nearest known spelling of a name."""

from collections.abc import Iterable
from difflib import get_close_matches
from itertools import islice

from pincheck.wiring.limits import MAX_CANDIDATES, MAX_TEXT


def nearest(name: str, known: Iterable[str]) -> str:
    """Return the known name that looks most like `name`, empty where none comes near.

    Letter case, `_` and `-` count as no difference.
    """
    folded: dict[str, str] = {}
    for candidate in islice(known, MAX_CANDIDATES):
        folded.setdefault(_fold(candidate), candidate)
    found = get_close_matches(_fold(name[:MAX_TEXT]), folded, n=1, cutoff=0.6)
    return folded[found[0]] if found else ""


def _fold(name: str) -> str:
    return name.casefold().replace("-", "_")

"""The nearest known spelling of a name."""

from collections.abc import Iterable
from difflib import get_close_matches
from itertools import islice

from pincheck.model import limits


def nearest(name: str, known: Iterable[str]) -> str:
    """Return the known name that looks most like `name`, empty where none comes near.

    Letter case, `_` and `-` count as no difference.
    """
    folded: dict[str, str] = {}
    for candidate in islice(known, limits.WIRING_CANDIDATES):
        folded.setdefault(_fold(candidate), candidate)
    wanted = _fold(name[: limits.WIRING_TEXT])
    # Of two letters one may differ: E1 is near E0.
    cutoff = 0.6 if len(wanted) > 3 else 0.5
    found = get_close_matches(wanted, folded, n=1, cutoff=cutoff)
    return folded[found[0]] if found else ""


def _fold(name: str) -> str:
    return name.casefold().replace("-", "_")


def holds(text: str, words: Iterable[str]) -> bool:
    """Return whether a text holds every word; case, blanks and hyphens count as no difference."""
    bare = _bare(text)
    return all(_bare(word) in bare for word in words)


def _bare(text: str) -> str:
    return text.casefold().translate(_NOT_SAID)


_NOT_SAID = dict.fromkeys(map(ord, " -_"))

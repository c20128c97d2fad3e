"""Files that the configuration asks for and nobody handed over."""

from collections.abc import Iterable, Iterator
from difflib import get_close_matches
from posixpath import basename

from pincheck.model.reading import NotSent, Reading

_ALIKE = 0.75


def missing(reading: Reading, not_sent: Iterable[NotSent]) -> Iterator[str]:
    """Yield each missing file once: where it is asked for, and which idle file is called so alike
    that the name may be misspelt."""
    used = {setting.source.name for setting in reading.settings}
    idle = {basename(s.name): s.name for s in reading.sources if s.name not in used}
    told: dict[str, NotSent] = {}
    for it in not_sent:
        told.setdefault(it.name, it)
    for name, it in told.items():
        asked = f"{it.asked_by.span.source}:{it.asked_by.span.line}: " if it.asked_by else ""
        near = get_close_matches(basename(name), idle, 1, _ALIKE)
        hint = f"; {idle[near[0]]} is there and nothing asks for it: is that meant?" if near else ""
        yield f"{asked}{name}{hint}"

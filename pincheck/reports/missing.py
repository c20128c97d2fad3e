"""Files that the configuration asks for and nobody handed over."""

from collections.abc import Iterator
from difflib import get_close_matches
from posixpath import basename

from pincheck.model.finding import Result
from pincheck.model.reading import NotSent

_ALIKE = 0.75


def missing(result: Result) -> Iterator[str]:
    """Yield each missing file once: where it is asked for, and which idle file is called so alike
    that the name may be misspelt. Files set aside for their names are left out."""
    reading, claims = result.reading, result.claims
    used = {setting.source.name for setting in reading.settings}
    names = (*(source.name for source in reading.sources), *reading.unused)
    idle = {basename(name): name for name in names if name not in used}
    told: dict[str, NotSent] = {}
    for it in claims.not_sent:
        if it not in claims.apart:
            told.setdefault(it.name, it)
    for name, it in told.items():
        asked = f"{it.asked_by.span.source}:{it.asked_by.span.line}: " if it.asked_by else ""
        if it.why:
            yield f"{asked}{name} was not read: {it.why}"
            continue
        near = get_close_matches(basename(name), idle, 1, _ALIKE)
        hint = f"; {idle[near[0]]} is there and nothing asks for it: is that meant?" if near else ""
        yield f"{asked}{name}{hint}"

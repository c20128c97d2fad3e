"""Reading headers that a test writes down as text."""

from collections.abc import Callable

import pytest

from pincheck.model.reading import Reading
from pincheck.model.source import Source
from pincheck.readers.define import read


@pytest.fixture
def reading() -> Callable[..., Reading]:
    """Read one text as `machine.h`, or several given by file name (`__` stands for a dot)."""

    def of(text: str = "", **files: str) -> Reading:
        files = files or {"machine__h": text}
        sources = [Source.of_text(name.replace("__", "."), body) for name, body in files.items()]
        return read(sources)

    return of


@pytest.fixture
def one(reading: Callable[..., Reading]) -> Callable[..., tuple[str, str | None]]:
    """Read one text; return activity and resolved value of its last define of `A`."""

    def of(text: str) -> tuple[str, str | None]:
        found = [s for s in reading(text).settings if s.key == "A"][-1]
        return found.activity.name, found.resolved

    return of

"""Headers of real size say the same as small ones: what stands between changes nothing."""

import pytest
from attrs import evolve
from padding import LINES, padded
from plant import clean, names

from pincheck.api import check
from pincheck.model.source import Source

DEFINE = [name for name in names() if clean(name)[0].style == "define"]


@pytest.mark.parametrize("name", DEFINE)
def test_padded_headers_come_to_the_same_verdicts(name: str) -> None:
    machine, assembly = clean(name)
    sources = tuple(
        Source.of_text(source.name, padded(source.text, at))
        for at, source in enumerate(machine.sources)
    )
    main = next(source for source in sources if source.name == machine.main.name)
    assert all(source.line_count >= LINES for source in sources)
    small = check(machine, assembly)
    large = check(evolve(machine, sources=sources, main=main), assembly)
    assert large.problems == ()
    assert [(v.role, v.attribute, v.state) for v in large.verdicts] == [
        (v.role, v.attribute, v.state) for v in small.verdicts
    ]

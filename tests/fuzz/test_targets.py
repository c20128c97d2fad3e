"""Every fuzz target takes its own seeds, whole, cut and twice over: none is broken unseen."""

import sys
from itertools import islice
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))

from targets import TARGETS, take


@pytest.mark.parametrize("name", TARGETS)
def test_seeds(name: str) -> None:
    """A target that refuses its seeds would begin with nothing."""
    seeds = list(islice(TARGETS[name].seeds(), 4))
    TARGETS[name].run(seeds[0])
    for data in (b"", seeds[-1][: len(seeds[-1]) // 2], seeds[-1] * 2):
        take(name, data)

"""Whole commands on the hungriest input stay within the memory that the bounds promise."""

from pathlib import Path

import hostile
import pytest


@pytest.mark.parametrize(
    "name", ["gzip that expands to 100 MB", "zip that expands to 100 MB", "16 MB of binary"]
)
def test_peak_memory_of_a_child(name: str, tmp_path: Path) -> None:
    """No bomb makes a command hold more than 300 MB."""
    found = hostile.measure_apart(hostile.built(name, str(tmp_path)))
    assert found.code == 2
    assert found.megabytes < hostile.MEGABYTES

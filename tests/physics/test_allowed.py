"""The one place where absurd numbers are refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.physics.bounds import allowed


@given(st.floats(allow_nan=True, allow_infinity=True))
def test_passes_what_is_inside_and_names_the_rest(value):
    """Inside comes back as it is; outside, infinite or not a number is named with its range."""
    if 1 <= value <= 10:
        assert allowed("fuse", value, 1, 10, "A") == value
    else:
        with pytest.raises(ValueError, match=r"fuse .* A: allowed is 1 to 10 A"):
            allowed("fuse", value, 1, 10, "A")

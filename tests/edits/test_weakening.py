"""What of a change makes a protection weaker, from its values alone."""

import pytest

from pincheck.edits.weakening import weakening
from pincheck.model.claim import Claim
from pincheck.model.finding import Change

HEATER = "hotend.heater"


def change(attribute, old, new):
    return Change(HEATER, attribute, new, Claim(HEATER, attribute, old))


@pytest.mark.parametrize(
    ("attribute", "old", "new", "said"),
    [
        ("watch_period_s", 20.0, 40.0, "Weakens the thermal protection from 20 to 40 s"),
        ("watch_period_s", 20.0, 0.0, "Switches the watch for a rise off"),
        # no watch at all is the weakest there is
        ("watch_period_s", 0.0, 20.0, ""),
        ("watch_period_s", 1800.0, 20.0, ""),
        ("watch_increase_c", 0.0, 2.0, ""),
        ("watch_increase_c", 2.0, 0.0, "Weakens the thermal protection from 2 to 0 K"),
        ("trip_hysteresis_c", 190.0, 4.0, ""),
        ("max_error_ks", 120.0, 6000.0, "Weakens the thermal protection from 120 to 6000 K s"),
        ("protection", True, False, "Switches a thermal protection off"),
    ],
)
def test_a_protection_that_gets_weaker_is_told(attribute, old, new, said):
    assert weakening(change(attribute, old, new)) == said

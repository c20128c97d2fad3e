"""`key-of-older-release`."""

import pytest

RULE = "key-of-older-release"
Y = ("machine.h", "Y_MIN_ENDSTOP_INVERTING false", "Y_MIN_ENDSTOP_HIT_STATE HIGH")
X = ("machine.h", "X_MIN_ENDSTOP_INVERTING false", "X_MIN_ENDSTOP_HIT_STATE HIGH")
PROBE = ("machine.h", "Z_MIN_PROBE_ENDSTOP_INVERTING false", "Z_MIN_PROBE_ENDSTOP_HIT_STATE HIGH")
FAN = ("machine.h", "#define FAN_PIN PB8", "#define FAN0_PIN PB8")


@pytest.mark.parametrize(
    ("replaced", "told"),
    [
        ((X, Y, FAN), "Z_MIN_PROBE_ENDSTOP_INVERTING"),
        ((X, Y, PROBE), "FAN_PIN"),
        ((X, Y, PROBE, FAN), ""),
        ((FAN,), ""),
    ],
)
def test_old_names_stop_the_build_only_beside_new_ones(demo, replaced, told):
    found = [f.message for f in demo("define", *replaced).findings]
    assert len(found) == bool(told)
    assert all(message.startswith(f"{told} at machine.h:") for message in found)

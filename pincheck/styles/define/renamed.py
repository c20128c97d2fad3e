"""Keys of the define style that current releases know by other names."""

NEWER = "_ENDSTOP_HIT_STATE"
_OLDER = (("FAN_PIN", "FAN0_PIN"), ("_ENDSTOP_INVERTING", NEWER))
"""Ends of keys that a release which knows `NEWER` refuses to build with."""


def today(key: str) -> str:
    """Return the name that a key has in current releases."""
    for old, now in _OLDER:
        if key == old or (old.startswith("_") and key.endswith(old)):
            return key.removesuffix(old) + now
    return key

"""Rails that boards name by their voltage: common practice."""

import re

GROUNDS = frozenset({"GND", "AGND", "PGND", "DGND", "0V"})
INPUTS = frozenset({"VIN", "VMOT"})
_VOLTS = re.compile(r"\+?(\d{1,3})(?:V(\d{1,2})|(\.\d{1,2})?V)", re.ASCII)


def volts_by_name(net: str, board_supply_v: float | None) -> float | None:
    """Return the volts that a net's name promises, 0 for ground, None where it is no rail.

    `24V`, `3V3` and `3.3V` say it themselves; `VIN` and `VMOT` carry the board's supply.
    """
    name = net.upper()
    if name in GROUNDS:
        return 0.0
    if name in INPUTS:
        return board_supply_v
    form = _VOLTS.fullmatch(name)
    if form is None:
        return None
    return float(f"{form[1]}.{form[2]}" if form[2] else f"{form[1]}{form[3] or ''}")

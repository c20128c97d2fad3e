"""The machine of examples that need a fan with a tachometer, which the demo has not."""

from pincheck.rules.rule import Replacement


def tachometer(lines: str, net: str = "") -> tuple[Replacement, ...]:
    """Return the demo with a three-wire hot-end fan, its tachometer on PC6 of the mainboard."""
    board, machine = "boards/heron-2.toml", "marsh-230-c.toml"
    sockets = '[connectors.fan]\npins = ["24V", "FAN0", "TACHO"]\n\n[connectors.bed]'
    return (
        (board, "[nets.PROBE]", f'[nets.TACHO]\nchip_pin = "PC6"\n{net}\n\n[nets.PROBE]'),
        (board, "[connectors.bed]", sockets),
        (machine, '"tool.hotend_fan"', '"main.fan"'),
        (machine, '"fan-24v-0a1"', '"fan-24v-3wire-tachometer"'),
        ("toolhead.cfg", "fan_speed: 1.0", f"fan_speed: 1.0\n{lines}"),
    )

"""The machine of examples that need a chip with pins of every kind, which the demo has not."""

from pincheck.rules.rule import Replacement


def spare_fan(board_pin: str, more: str = "") -> tuple[Replacement, ...]:
    """Return the demo with a fan on a pin of a second board, whose chip has pins of every kind."""
    old = "[fit.filament]"
    return (
        ("boards/curlew-1.toml", 'chip = "rp2040"', 'chip = "esp32"'),
        ("boards/curlew-1.toml", 'chip_pin = "gpio6"', 'chip_pin = "gpio25"'),
        ("boards/curlew-1.toml", 'chip_pin = "gpio4"', f'chip_pin = "{board_pin}"{more}'),
        (
            "marsh-230-c.toml",
            "[boards]\n",
            '[chips]\ncurlew = "extra"\n\n[boards]\nextra = "boards/curlew-1.toml"\n',
        ),
        (
            "marsh-230-c.toml",
            old,
            '[[cables]]\nfrom = "main.tool_power"\nto = "extra.power"\nwiring = "straight"\n\n'
            '[fit.spare_fan]\nrole = "aux.fan"\nat = "extra.part_fan_a"\npart = "fan-24v-0a3"\n\n'
            + old,
        ),
        (
            "machine.cfg",
            "[idle_timeout]",
            f"[mcu curlew]\nserial: /dev/curlew\n\n[fan_generic spare]\npin: curlew:{board_pin}\n\n"
            "[idle_timeout]",
        ),
    )

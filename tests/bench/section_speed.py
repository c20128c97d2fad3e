"""Reading speed of the section style, against the standard library's `configparser`."""

import io
from collections.abc import Iterator
from configparser import RawConfigParser

from measure import Row, Run, at_most, best, growth

from pincheck.model.source import Source
from pincheck.readers import section

PARTS = ("extruder", "bed", "fans", "probe", "motion", "leds", "macros", "sensors")


def part(name: str, lines: int) -> str:
    """Return about `lines` lines in the proportions of real files."""
    block = (
        "# ---- {n} ----\n"
        "[heater_fan {n}]\n"
        "pin: ^!tool:PB{i}  # on the breakout\n"
        "heater: extruder\n"
        "heater_temp: 50.0\n"
        "max_power = 1.0\n"
        "#fan_speed: 0.8\n"
        "# the fan that cools the cold side\n"
        "kick_start_time: 0.5 ; helps worn bearings\n"
        "\n"
        "[gcode_macro {n}]\n"
        "description: parks the head\n"
        "gcode:\n"
        "    {{% if printer.idle %}}\n"
        "    G28 ; home first\n"
        "    M117 state: ready\n"
        "    {{% endif %}}\n"
        "\n"
        "[tmc2209 {n}]\n"
        "uart_pin: PC{i}\n"
        "run_current: 0.8\n"
        "sense_resistor: 0.110\n"
        "\n"
    )
    count = block.count("\n")
    return "".join(block.format(n=f"{name}{i}", i=i % 16) for i in range(max(1, lines // count)))


def machine(lines: int) -> list[Source]:
    """Return a main file with a saved block and eight includes, `lines` lines in all."""
    main = "[printer]\nkinematics: corexy\n\n"
    main += "".join(f"[include parts/{name}.cfg]\n" for name in PARTS)
    main += part("main", lines // 8)
    main += "#*# <---------------------- SAVE_CONFIG ---------------------->\n"
    main += "#*# DO NOT EDIT THIS BLOCK OR BELOW. The contents are auto-generated.\n#*#\n"
    main += "#*# [extruder]\n#*# control = pid\n#*# pid_kp = 25.1\n"
    files = [Source.of_text("machine.cfg", main)]
    files += (Source.of_text(f"parts/{name}.cfg", part(name, lines // 8)) for name in PARTS)
    return files


def measures() -> Iterator[Row]:
    """Yield the ratio to the standard library's reader on the same text, and the growth."""
    files = machine(1_000)
    text = "".join(source.text for source in files)

    def standard() -> None:
        RawConfigParser(strict=False, inline_comment_prefixes=("#", ";")).read_file(
            io.StringIO(text)
        )

    ours, theirs = best(30, lambda: section.read(files), standard)
    count = text.count("\n")
    yield Row(f"{count} lines, 8 includes", f"{ours * 1e3:.1f} ms")
    yield at_most("ours / configparser", ours / theirs, 2)
    yield growth(map(_reading, (1_000, 2_000, 4_000, 8_000)))


def _reading(lines: int) -> tuple[int, Run]:
    files = machine(lines)
    assert not section.read(files).problems
    return sum(source.text.count("\n") for source in files), lambda: section.read(files)

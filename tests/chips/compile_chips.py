"""Compiles the chips common on printer boards from the device-data package into one file.

Run as `python tests/chips/compile_chips.py`; needs the extra `test`. Every package of each line
is taken, so that a short name such as `stm32f446` means all of them. Chips of one device file
share a table of pin functions as long as they agree on every pin that both have.
"""

import json
import re
from collections.abc import Iterable, Mapping
from importlib.metadata import version
from pathlib import Path
from typing import Any

import device_data
from device_data import Part, natural

from pincheck import resources

TARGET = Path(resources.__file__).parent / "chips" / "data" / "compiled.json"

LINES = """
stm32f030 stm32f031 stm32f042 stm32f070 stm32f072 stm32f091
stm32f103 stm32f105 stm32f107
stm32f303
stm32f401 stm32f405 stm32f407 stm32f411 stm32f412 stm32f427 stm32f429 stm32f446
stm32f765 stm32f767
stm32g030 stm32g031 stm32g070 stm32g071 stm32g0b0 stm32g0b1
stm32g431 stm32g473 stm32g474 stm32g491
stm32h723 stm32h730 stm32h743 stm32h750
atmega168 atmega328 atmega328p atmega328pb atmega32u4 atmega644 atmega644a atmega644p atmega644pa
atmega1284 atmega1284p atmega640 atmega1280 atmega1281 atmega2560 atmega2561
samd21e17 samd21e18 samd21g17 samd21g18 samd21j17 samd21j18
samd51g19 samd51j19 samd51j20 samd51n20 samd51p20 same51 same54
same70n same70q
rp2040
"""


def collapse(pins: Iterable[str]) -> str:
    """Return the shortest ranges for pins; the inverse of `expand`, sorted."""
    runs: list[tuple[str, int, int]] = []
    for pin in sorted(pins, key=natural):
        match = re.fullmatch(r"(.*?)(\d+)", pin)
        assert match
        stem, number = match[1], int(match[2])
        if runs and runs[-1][0] == stem and runs[-1][2] == number - 1:
            runs[-1] = stem, runs[-1][1], number
        else:
            runs.append((stem, number, number))
    return " ".join(f"{s}{a}-{b}" if b > a else f"{s}{a}" for s, a, b in runs)


def join(table: Mapping[str, str]) -> str:
    """Return one text for the functions of pins; the inverse of `functions`, sorted."""
    return ";".join(f"{pin} {table[pin]}" for pin in sorted(table, key=natural) if table[pin])


def compiled(lines: Iterable[str]) -> dict[str, Any]:
    """Return the content of the compiled file for these chip lines."""
    parts = {key: part for line in lines for key, part in device_data.parts_named(line).items()}
    tables: list[dict[str, str]] = []
    chips = {
        key: f"{part.family} {_table_for(part, tables)} {collapse(part.pins)}"
        for key, part in sorted(parts.items())
    }
    return {
        "source": f"modm-devices {version('modm-devices')}",
        "licence": "MPL-2.0, see NOTICE.md beside this file",
        "functions": [join(table) for table in tables],
        "chips": chips,
    }


def _table_for(part: Part, tables: list[dict[str, str]]) -> int:
    for number, table in enumerate(tables):
        if _agree(part.pins, table):
            table.update(part.pins)
            return number
    tables.append(dict(part.pins))
    return len(tables) - 1


def _agree(pins: Mapping[str, str], table: Mapping[str, str]) -> bool:
    shared = pins.keys() & table.keys()
    return 2 * len(shared) > len(pins) and all(pins[pin] == table[pin] for pin in shared)


def text_of(content: Mapping[str, Any]) -> str:
    """Return the file's text: one table or chip a line, so that changes can be reviewed."""
    return json.dumps(content, indent=0, ensure_ascii=True) + "\n"


def main() -> None:
    """Write the compiled file."""
    content = compiled(LINES.split())
    TARGET.write_text(text_of(content), encoding="utf-8", newline="\n")
    print(f"{TARGET.name}: {len(content['chips'])} chips")


if __name__ == "__main__":
    main()

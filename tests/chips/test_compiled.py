"""The compiled file equals what its generator gives from the installed device-data package."""

import json
from importlib.metadata import version

import pytest
from compile_chips import LINES, TARGET, collapse, compiled, join
from device_data import parts_named

from pincheck.chips import chip, device_data
from pincheck.chips.notation import expand, functions


@pytest.fixture(scope="module")
def content() -> dict[str, object]:
    return json.loads(TARGET.read_text(encoding="ascii"))  # type: ignore[no-any-return]


def test_the_file_names_the_version_it_came_from(content: dict[str, object]) -> None:
    assert content["source"] == f"modm-devices {version('modm-devices')}"
    assert "MPL-2.0" in str(content["licence"])
    assert (TARGET.parent / "NOTICE.md").read_text().count("MPL-2.0") >= 1
    assert "Mozilla Public License" in (TARGET.parent / "LICENSE.MPL-2.0.txt").read_text()


@pytest.mark.parametrize(
    "name",
    [
        "stm32f103rct6",
        "stm32f401rct6",
        "stm32g0b1cbt6n",
        "stm32h723zgt6",
        "atmega2560",
        "samd21g18a-au",
        "rp2040",
    ],
)
def test_a_compiled_chip_equals_the_package_today(name: str) -> None:
    found, parts = device_data._compiled(name), parts_named(name)
    assert found is not None
    families, each = {part.family for part in parts.values()}, [p.pins for p in parts.values()]
    assert found == device_data._united(list(parts), families, each, found.basis.source)


def test_compiling_some_lines_again_gives_the_same_chips(content: dict[str, object]) -> None:
    again = compiled(["stm32g030", "atmega1284p"])
    filed = content["chips"]
    assert isinstance(filed, dict)
    for key, text in again["chips"].items():
        family, _, pins = text.split(" ", 2)
        assert filed[key].startswith(f"{family} ")
        assert filed[key].endswith(f" {pins}")


def test_every_line_asked_for_is_in_the_file(content: dict[str, object]) -> None:
    chips = content["chips"]
    assert isinstance(chips, dict)
    for line in LINES.split():
        assert any(key.startswith(line) for key in chips), line


@pytest.mark.parametrize(
    "names",
    [
        "stm32f030cct6 stm32f042f6p6 stm32f070cbt6 stm32f072rbt6",
        "stm32f103c8t6 stm32f103rct6 stm32f103ret6 stm32f103vet6 stm32f103zet6 stm32f105rct6",
        "stm32f401ccu6 stm32f401rct6 stm32f405rgt6 stm32f407vet6 stm32f407vgt6 stm32f407zgt6",
        "stm32f411ret6 stm32f412ret6 stm32f429vet6 stm32f429zgt6 stm32f446ret6 stm32f446zet6",
        "stm32f765vit6 stm32f767zit6 stm32g030c8t6 stm32g070rbt6 stm32g071rbt6 stm32g0b1cbt6",
        "stm32g0b1ret6 stm32g0b1vet6 stm32g431cbt6 stm32g474ret6 stm32h723vgt6 stm32h723zgt6",
        "stm32h730vbt6 stm32h743vit6 stm32h743zit6 stm32h743iit6 stm32h750vbt6 gd32f303rct6",
        "sam3x8e sam4e8e sam4s8c same54p20a same51n19a same70q20b samc21g18a samd21g18a samd51p20a",
        "atmega2560 atmega1284p atmega644p atmega1280 atmega328p atmega32u4 at90usb1286",
        "lpc1768 lpc1769 rp2040 rp2350a rp2350b esp32",
    ],
)
def test_chips_of_printer_boards_are_known(names: str) -> None:
    """Every one with its very pins, as boards are sold with them (common practice)."""
    assert not [name for name in names.split() if chip(name) is None]


def test_a_chip_outside_the_file_is_unknown() -> None:
    """What the data package knows beyond the file is no second source."""
    assert parts_named("stm32l476rgt6")
    assert chip("stm32l476rgt6") is None


def test_ranges_and_functions_round_trip() -> None:
    pins = ["PA0", "PA1", "PA2", "PA10", "PB3"]
    assert collapse(reversed(pins)) == "PA0-2 PA10 PB3"
    assert list(expand(collapse(pins))) == pins
    table = {"PA2": "TIM2:3", "PA10": "debug"}
    assert functions(join(table)) == table
    with pytest.raises(ValueError, match="no range"):
        list(expand("PA"))

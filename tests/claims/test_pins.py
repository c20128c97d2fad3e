"""Pins in every form that users write come to one chip pin, and back to that form."""

import pytest

from pincheck.claims.pins import Pins
from pincheck.model.claim import PinValue, Place
from pincheck.model.setting import StyleName
from pincheck.model.wiring import Assembly, Board, Net
from pincheck.respell.pins import spell
from pincheck.styles import of


def board(chip: str, **more: object) -> Assembly:
    """Return an assembly of one board with a chip, and a second one bound as `tool` and 1."""
    boards = {"main": Board("Heron", chip=chip, **more), "head": Board("Curlew", chip="rp2040")}  # type: ignore[arg-type]
    return Assembly("Marsh", boards, chips={"tool": "head", "1": "head"})


STM32, LPC, AVR = board("stm32f401rct6"), board("lpc1769"), board("atmega2560")
ESP32, SAM = board("esp32"), board("sam3x8e")
NAMED = board(
    "stm32f401rct6",
    pin_names={"gcode": {"fan0": "PB6", "io0.in": "PC2"}, "define": {"12": "PB3"}},
    stock_pins={"FAN1_PIN": "PB6", "HEATER_FAN_PIN": "FAN1_PIN"},
)
ALIASES = {("", "EXP1_3"): "PB6", ("tool", "HOT"): "gpio3", ("", "EXP1_9"): "<GND>"}

FORMS: list[tuple[StyleName, Assembly, str, str, str]] = [
    ("section", STM32, "PA1", "main", "PA1"),
    ("section", STM32, "PA_1", "main", "PA1"),
    ("define", STM32, "PA.1", "main", "PA1"),
    ("section", LPC, "P1.23", "main", "P1.23"),
    ("define", LPC, "P1_23", "main", "P1.23"),
    ("define", LPC, "P0_24_A1", "main", "P0.24"),
    ("section", STM32, "tool:gpio12", "head", "gpio12"),
    ("section", STM32, "^!tool : gpio12", "head", "gpio12"),
    ("section", STM32, "! PA1", "main", "PA1"),
    ("section", STM32, "~!PA1", "main", "PA1"),
    ("section", STM32, "mcu:PA1", "main", "PA1"),
    ("section", STM32, "EXP1_3", "main", "PB6"),
    ("section", STM32, "tool:HOT", "head", "gpio3"),
    ("section", AVR, "ar12", "main", "PB6"),
    ("section", AVR, "analog1", "main", "PF1"),
    ("define", AVR, "12", "main", "PB6"),
    ("define", NAMED, "12", "main", "PB3"),
    ("define", NAMED, "HEATER_FAN_PIN", "main", "PB6"),
    ("define", ESP32, "27", "main", "gpio27"),
    ("define", SAM, "13", "main", "PB27"),
    # more than the chip has pins: a rule judges it
    ("define", AVR, "120", "main", "D120"),
    ("gcode", NAMED, "fan0", "main", "PB6"),
    ("gcode", NAMED, "!^io0.in", "main", "PC2"),
    ("gcode", NAMED, "1.gpio4", "head", "gpio4"),
    ("gcode", NAMED, "0.fan0", "main", "PB6"),
    # not on the chip, but named as its pins are: a rule judges it
    ("section", STM32, "PZ14", "main", "PZ14"),
]


@pytest.mark.parametrize(("style", "assembly", "text", "where", "pin"), FORMS)
def test_every_form_comes_to_one_pin(
    style: StyleName, assembly: Assembly, text: str, where: str, pin: str
) -> None:
    """A pin in the user's form is the chip's own pin on the right board."""
    pins = Pins(of(style), assembly, ALIASES if style == "section" else {})
    assert pins.read(text) == PinValue(text, Place(where, pin))


@pytest.mark.parametrize(("style", "assembly", "text", "where", "pin"), FORMS)
def test_a_pin_spelt_as_it_was_is_the_same_text(
    style: StyleName, assembly: Assembly, text: str, where: str, pin: str
) -> None:
    """Writing the same pin back keeps or renews the form, and it reads the same."""
    pins = Pins(of(style), assembly, ALIASES if style == "section" else {})
    again = spell(pins, PinValue("", Place(where, pin)), text)
    assert pins.read(again).place == Place(where, pin)
    assert of(style).parted(again).prefix == of(style).parted(text).prefix


@pytest.mark.parametrize(
    ("style", "assembly", "old", "new", "text"),
    [
        ("section", LPC, "P1.23", Place("main", "P2.4"), "P2.4"),
        ("define", LPC, "P1_23", Place("main", "P2.4"), "P2_04"),
        ("define", LPC, "-1", Place("main", "P2.4"), "P2_04"),
        ("section", STM32, "^!PA_1", Place("main", "PB2"), "^!PB_2"),
        ("section", STM32, "PA1", Place("head", "gpio3"), "tool:gpio3"),
        ("section", STM32, "!tool : gpio12", Place("head", "gpio4"), "!tool : gpio4"),
        ("section", STM32, "tool:HOT", Place("main", "PA1"), "PA1"),
        ("section", STM32, "EXP1_9", Place("main", "PB6"), "EXP1_3"),
        ("section", AVR, "ar11", Place("main", "PB6"), "ar12"),
        ("define", AVR, "11", Place("main", "PB6"), "12"),
        ("define", NAMED, "13", Place("main", "PB3"), "12"),
        ("gcode", NAMED, "^io0.in", Place("main", "PB6"), "^fan0"),
        ("gcode", NAMED, "fan0", Place("head", "gpio4"), "1.gpio4"),
    ],
)
def test_another_pin_takes_the_manner_of_the_old_one(
    style: StyleName, assembly: Assembly, old: str, new: Place, text: str
) -> None:
    """Separator, number, alias, board name, chip prefix and prefixes stay the user's own."""
    pins = Pins(of(style), assembly, ALIASES if style == "section" else {})
    assert spell(pins, PinValue("", new), old) == text


@pytest.mark.parametrize(
    ("style", "text"),
    [("define", "-1"), ("gcode", "nil"), ("section", ""), ("define", "")],
)
def test_no_pin_is_absent_and_not_unknown(style: StyleName, text: str) -> None:
    """What says "no pin" names none and leaves nothing open."""
    assert Pins(of(style), STM32).read(text) == PinValue(text, absent=True)


def test_a_probe_in_place_of_an_end_stop_is_virtual() -> None:
    """A virtual pin is no copper."""
    assert Pins(of("section"), STM32).read("probe:z_virtual_endstop").virtual


@pytest.mark.parametrize(
    ("style", "text", "reason"),
    [
        ("section", "rpi:gpio4", "no board of the wiring is bound to the chip name 'rpi'"),
        ("section", "FANTASY", "Heron has no pin 'FANTASY'"),
        ("section", "EXP1_9", "'EXP1_9' is reserved as <GND>"),
        ("gcode", "fan7", "Heron has no pin 'fan7'; its file gives no names: [pin_names.gcode]"),
        ("define", "12", "Heron has no pin '12'"),
        ("gcode", "3.out1", "no board of the wiring is bound to the chip name '3'"),
    ],
)
def test_what_nothing_explains_says_why(style: StyleName, text: str, reason: str) -> None:
    """An unknown name is never a pin."""
    value = Pins(of(style), STM32, ALIASES).read(text)
    assert (value.place, value.unknown) == (None, reason)


def test_a_number_on_a_chip_that_nobody_knows_is_no_port_pin() -> None:
    """It could be any pin, so it contradicts none."""
    nets = {"HEAT": Net("HEAT", chip_pin="PA8")}
    found = Pins(of("define"), board("xyz123", nets=nets)).read("10")
    assert (found.place, "nobody knows which pin" in found.unknown) == (None, True)


def test_a_board_may_number_the_pins_of_a_chip_that_nobody_knows() -> None:
    nets = {"HEAT": Net("HEAT", chip_pin="10"), "TH": Net("TH", chip_pin="A13")}
    pins = Pins(of("define"), board("xyz123", nets=nets))
    assert pins.read("10").place == Place("main", "D10")
    assert pins.read("13", analog=True).place == Place("main", "A13")


def test_without_wiring_pins_keep_the_users_chip_names() -> None:
    """A place then names the chip as written, and nothing for the main one."""
    pins = Pins(of("section"))
    assert pins.read("tool:PA1").place == Place("tool", "PA1")
    assert pins.read("PA1").place == Place("", "PA1")


@pytest.mark.parametrize(
    ("style", "text", "texts"),
    [
        ("gcode", "!a + ^b,c", ["!a", "^b", "c"]),
        ("section", "PA1, !PB2 ,tool:PC3", ["PA1", "!PB2", "tool:PC3"]),
        ("define", "PA1", ["PA1"]),
    ],
)
def test_lists_come_apart(style: StyleName, text: str, texts: list[str]) -> None:
    """Several pins in one value are found with their places in it."""
    found = of(style).pieces(text)
    assert [piece.text for piece in found] == texts
    assert [text[piece.start : piece.end] for piece in found] == texts


@pytest.mark.parametrize(
    ("text", "inverted", "pull", "new"),
    [
        ("PA1", True, "up", "^!PA1"),
        ("^!PA1", False, "up", "^PA1"),
        ("!^PA1", True, "down", "!~PA1"),
        ("^PA1", False, "none", "PA1"),
        ("! tool : PA1", True, "none", "! tool : PA1"),
    ],
)
def test_prefixes_change_in_the_users_order(text: str, inverted: bool, pull: str, new: str) -> None:
    """Only what changes is written anew."""
    assert of("section").prefixed(text, inverted, pull) == new  # type: ignore[arg-type]


def test_a_prefix_that_a_style_lacks_is_refused() -> None:
    """A start-up script has no pull-down mark."""
    with pytest.raises(ValueError, match="no prefix"):
        of("gcode").prefixed("fan0", False, "down")


@pytest.mark.parametrize(
    ("style", "assembly", "text"),
    [
        ("define", ESP32, "128"),  # an output of a shift register
        ("section", board("rp2040"), "12"),
        ("define", AVR, "75"),  # numbered by some headers, beyond the usual numbering
        ("define", STM32, "12"),
    ],
)
def test_a_number_that_means_no_certain_pin_is_unknown(
    style: StyleName, assembly: Assembly, text: str
) -> None:
    """Numbers are pins only where chip and style make them so."""
    assert Pins(of(style), assembly).read(text).unknown


def test_a_board_tells_its_analog_inputs_from_its_other_numbers() -> None:
    """A sensor's bare number is the board's analog name, where it gives one."""
    named = board("stm32f401rct6", pin_names={"define": {"4": "PB3", "A4": "PA6"}})
    pins = Pins(of("define"), named)
    assert pins.read("4", analog=True).place == Place("main", "PA6")
    assert pins.read("4").place == Place("main", "PB3")


def test_a_sensors_number_on_an_8_bit_chip_is_never_the_boards_own_digital_one() -> None:
    """Channel 13 is PK5; the board's own 13 is the pin of a heater."""
    pins = Pins(of("define"), board("atmega2560", pin_names={"define": {"13": "PB7"}}))
    assert pins.read("13", analog=True).place == Place("main", "PK5")
    assert pins.read("13").place == Place("main", "PB7")

"""Every spelling that section-style files use comes to the right setting, in the right place."""

import pytest

from pincheck.model.setting import Activity, Setting
from pincheck.model.source import Source
from pincheck.readers import section


def settings(text: str) -> list[Setting]:
    """Read one file that must have no mistakes; headers left out."""
    reading = section.read([Source.of_text("machine.cfg", text)])
    assert reading.problems == ()
    return [setting for setting in reading.settings if setting.key]


def only(text: str) -> Setting:
    """Read one file with one setting."""
    (setting,) = settings(text)
    return setting


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("final", [True, False])
@pytest.mark.parametrize(
    ("line", "value"),
    [
        ("pin: PA1", "PA1"),
        ("pin:PA1", "PA1"),
        ("pin = PA1", "PA1"),
        ("pin=PA1", "PA1"),
        ("pin : PA1", "PA1"),
        ("pin\t=\tPA1", "PA1"),
        ("pin: PA1   ", "PA1"),
        ("pin:\u00a0PA1\u00a0", "PA1"),
        ("  pin: PA1", "PA1"),
        ("\tpin: PA1", "PA1"),
        ("pin: PA1 # heater", "PA1"),
        ("pin: PA1# heater", "PA1"),
        ("pin: gpio4#PC5", "gpio4"),
        ("pin: PA1 ; heater", "PA1"),
        ("pin: PA1\t;heater", "PA1"),
        ("pin: PA1 ; heater # note", "PA1"),
        ("pin: PA1;2", "PA1;2"),
        ("pin: !PA1", "!PA1"),
        ("pin: ^PA1", "^PA1"),
        ("pin: ^!PA1", "^!PA1"),
        ("pin: ~PA1", "~PA1"),
        ("pin: ~!PA1", "~!PA1"),
        ("pin: tool:PA1", "tool:PA1"),
        ("pin: tool : PA1", "tool : PA1"),
        ("pin: x:virtual_endstop", "x:virtual_endstop"),
        ("pins: PA1, PA2,!PA3", "PA1, PA2,!PA3"),
        ("ratio: 50:10, 2:1", "50:10, 2:1"),
        ("number: 150.", "150."),
        ("number: .5", ".5"),
        ("number: -250", "-250"),
        ("flag: True", "True"),
        ("name: Wärme – für [A]", "Wärme – für [A]"),
        ("serial: /dev/by-id/a=b", "/dev/by-id/a=b"),
    ],
)
def test_value_and_its_place(line: str, value: str, newline: str, final: bool) -> None:
    """Separators, blanks and comments never get into the value, whatever the line ending."""
    text = f"[fan]{newline}{line}{newline if final else ''}"
    setting = only(text)
    start = text.index(value, text.index(":" if ":" in line and "=" not in line[:6] else "="))
    assert (setting.section, setting.value, setting.resolved) == ("fan", value, value)
    assert (setting.value_start, setting.value_end) == (start, start + len(value))
    assert text[setting.key_start : setting.key_end] == setting.key
    assert (setting.start, setting.end) == (setting.key_start, setting.value_end)
    assert setting.span.line == 2
    assert setting.span.column == len(line) - len(line.lstrip()) + 1
    assert setting.activity is Activity.ACTIVE


def test_keys_are_lower_cased_and_keep_their_place() -> None:
    """The firmware folds the case of keys, not of sections."""
    setting = only("[gcode_macro START]\nvariable_Speed: 5\n")
    assert (setting.section, setting.key) == ("gcode_macro START", "variable_speed")
    assert setting.source.text[setting.key_start : setting.key_end] == "variable_Speed"


@pytest.mark.parametrize(
    ("header", "name"),
    [
        ("[heater_fan hotend_fan]", "heater_fan hotend_fan"),
        ("[heater_fan   hotend_fan ]", "heater_fan hotend_fan"),
        ("[heater_fan\thotend_fan]", "heater_fan hotend_fan"),
        ("[tmc2209 extruder of tool]", "tmc2209 extruder of tool"),
        ("[fan]:", "fan"),
        ("[fan]  # part cooling", "fan"),
        ("[fan] ; see [extruder]", "fan"),
        ("[fan] anything", "fan"),
        ("  [fan]", "fan"),
        ("[MCU tool]", "MCU tool"),
    ],
)
def test_headers(header: str, name: str) -> None:
    """A header's blanks fold to one, and what stands behind the bracket counts for nothing."""
    source = Source.of_text("machine.cfg", f"{header}\npin: PA1\n")
    found, pin = section.read([source]).settings
    assert (found.section, found.key, found.resolved, pin.section) == (name, "", name, name)
    assert source.text[found.start : found.end].startswith("[")
    assert source.text[found.start : found.end].endswith("]")
    assert found.value == source.text[found.value_start : found.value_end]


@pytest.mark.parametrize("blank", ["  ", "\t", "    "])
def test_continued_value(blank: str) -> None:
    """A value goes on in deeper lines; comments and blank lines in it are no part of it."""
    text = (
        f"[board_pins tool]\naliases:\n{blank}FAN=PA1, # part\n\n# note\n"
        f"{blank}<5V>=<5V>,; none\n{blank}X=PB2\nmcu: tool\n"
    )
    aliases, mcu = settings(text)
    assert aliases.resolved == "FAN=PA1,\n<5V>=<5V>,; none\nX=PB2"
    assert aliases.value == text[text.index("FAN") : text.index("\nmcu")]
    assert (mcu.key, mcu.value) == ("mcu", "tool")


def test_value_that_begins_beside_its_key() -> None:
    """A list may begin in the key's own line."""
    first, second = settings("[a]\npins: PA1,\n  PA2\nkey: b\n")
    assert (first.value, first.resolved) == ("PA1,\n  PA2", "PA1,\nPA2")
    assert second.key == "key"


def test_template_lines_are_no_settings() -> None:
    """Lines of a template that look like keys or headers stay inside it, comments too."""
    text = (
        "[gcode_macro PARK]\ngcode:\n  {% set z = 5 %}\n  max_temp: 500\n"
        "# heater_pin: PA1\n  #min_temp: 3\n  [extruder]\n  M117 pin: {z}\n[fan]\npin: PA2\n"
    )
    gcode, pin = settings(text)
    assert (gcode.key, gcode.resolved) == ("gcode", None)
    assert gcode.unknown == "a template that the firmware works out while it runs"
    assert (pin.section, pin.value) == ("fan", "PA2")


@pytest.mark.parametrize(
    ("line", "key", "value"),
    [
        ("#max_power: 0.5", "max_power", "0.5"),
        ("# max_power: 0.5 # was 1", "max_power", "0.5"),
        ("#  max_power = 0.5", "max_power", "0.5"),
        ("##max_power=0.5", "max_power", "0.5"),
        (";max_power: 0.5 ; less", "max_power", "0.5"),
        ("  # max_power : 0.5", "max_power", "0.5"),
        ("#MAX_POWER: 0.5", "max_power", "0.5"),
    ],
)
def test_commented_out_key(line: str, key: str, value: str) -> None:
    """A key in a comment is known, with its mark inside the span, so that it can be enabled."""
    pin, setting = settings(f"[fan]\npin: PA1\n{line}\n")
    text = setting.source.text
    assert (pin.value, pin.activity) == ("PA1", Activity.ACTIVE)
    assert (setting.section, setting.key, setting.value) == ("fan", key, value)
    assert setting.activity is Activity.COMMENTED
    assert text[setting.start] in "#;"
    assert text[setting.start : setting.end] == line.strip()[: setting.end - setting.start]
    assert text[setting.value_start : setting.value_end] == value


def test_commented_out_section() -> None:
    """Keys below a header in a comment would belong to it, until something active comes."""
    text = (
        "[fan]\npin: PA1\n#[heater_fan hot]\n#pin: PA2\n\n# heater: extruder\nmax_power: 1\n#x: 2\n"
    )
    reading = section.read([Source.of_text("machine.cfg", text)])
    assert [(it.section, it.key, it.value) for it in reading.settings] == [
        ("fan", "", "fan"),
        ("fan", "pin", "PA1"),
        ("heater_fan hot", "", "heater_fan hot"),
        ("heater_fan hot", "pin", "PA2"),
        ("heater_fan hot", "heater", "extruder"),
        ("fan", "max_power", "1"),
        ("fan", "x", "2"),
    ]


def test_remarks_are_no_settings() -> None:
    """Prose, rulers and web addresses in comments yield nothing."""
    text = (
        "[fan]\n# the fan of the tool: small\n#-----\n# see https://example.org\n;\n#\npin: PA1\n"
    )
    assert only(text).value == "PA1"


def test_later_key_wins_and_sections_merge() -> None:
    """The last of several assignments counts; the losers are kept and paired with it."""
    text = "[fan]\npin: PA1\npin: PA2\n[extruder]\nmin_temp: 0\n[fan]\nPIN: PA3\nmax_power: 1\n"
    reading = section.read([Source.of_text("machine.cfg", text)])
    found = [(it.value, it.activity) for it in reading.settings if it.section == "fan" and it.key]
    assert found == [
        ("PA1", Activity.DISABLED),
        ("PA2", Activity.DISABLED),
        ("PA3", Activity.ACTIVE),
        ("1", Activity.ACTIVE),
    ]
    pairs = [(a.value, a.span.line, b.value, b.span.line) for a, b in reading.overridden]
    assert pairs == [("PA1", 2, "PA3", 7), ("PA2", 3, "PA3", 7)]


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing\n", "\ufeff"[1:]])
def test_nothing_in_it(text: str) -> None:
    """A file without a setting has none."""
    assert settings(text) == []

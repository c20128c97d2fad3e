"""The style is found by content, and what was sent by mistake is named for what it is."""

import pytest

from pincheck.intake.kinds import kind_of
from pincheck.model.source import Source

DEFINE = "#define MOTHERBOARD BOARD_HERON_2\n//#define FAN_PIN PB8\n#define TEMP_SENSOR_0 5\n"
SECTION = "[extruder]\nheater_pin: PC8\nsensor_type: Generic 3950\n"
GCODE = '; start-up\nM950 H1 C"e0heat" T1\nM308 S1 P"temp0" Y"thermistor" T100000 B4725\n'


@pytest.mark.parametrize(
    ("text", "style"),
    [
        (DEFINE, "define"),
        ("  #  if ENABLED(X)\n# define FAN_PIN 4\n#endif\n", "define"),
        (SECTION, "section"),
        ("#*# <-- saved -->\n#*# [extruder]\n#*# control = pid\n", "section"),
        ("[gcode_macro A]\ngcode:\n  M106 S255\n  G1 X1\n" + SECTION, "section"),
        ("[board]\nkind = 5\n[fan]\npin = PA1\n", "section"),
        (GCODE, "gcode"),
        ('m950 h1 c"out1" t1\nM143 H1 S255\n', "gcode"),
        ("M305 P1 T100000 B4267 R4700\n; M106 P0 H1\n", "gcode"),
    ],
)
def test_style_by_content(text: str, style: str) -> None:
    assert kind_of(Source.of_text("whatever.txt", text)).style == style


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("<!DOCTYPE html>\n<html><body>#define X 1</body></html>\n", "a web page"),
        ("../shared/machine.cfg\n", "a link saved as text"),
        ("machine.cfg", "a link saved as text"),
        ("Hello, I have a problem with my printer. The fan does not turn at all.\n", "prose"),
        ('{"extruder": {"heater_pin": "PC8"}}\n', "data in JSON"),
        ("".join(f"G1 X{n} Y{n} E0.1\n" for n in range(400)), "a slicer's output"),
        ("--- a/machine.cfg\n+++ b/machine.cfg\n@@ -1 +1 @@\n-[fan]\n+[fan ]\n", "a patch"),
        ('[board]\n# mine\ntitle="A"\n[connectors.fan]\npins = ["PA1"]\n', "a wiring file"),
        ('# Mine\n[assembly]\nname = "Smew 2"\n\n[boards]\nmain = "b.toml"\n', "a wiring file"),
        ('[board]  # a mainboard\ntitle = "Smew"\n\n[nets.HEAT]\nside = "low"\n', "a wiring file"),
    ],
)
def test_mistakes_are_named(text: str, kind: str) -> None:
    found = kind_of(Source.of_text("machine.cfg", text))
    assert (found.style, found.mistaken) == (None, kind)
    assert found.reason


def test_comments_that_begin_like_directives_and_macros_do_not_hide_the_sections() -> None:
    prose = "# if you use the other fan\n# define nothing here\n# else see below\n" * 20
    macro = "[gcode_macro A]\ngcode:\n" + "  G1 X1\n" * 50
    found = kind_of(Source.of_text("machine.cfg", prose + macro + SECTION))
    assert found.style == "section"


def test_a_script_of_variables_alone_is_a_script() -> None:
    text = "; my settings\nif !exists(global.hot)\n  global hot = 285\nset global.fans[0] = 3\n"
    assert kind_of(Source.of_text("globals.g", text)).style == "gcode"


def test_a_sentence_that_sets_out_is_none() -> None:
    text = "set up the machine first, then var and global things follow in the next chapter\n"
    assert kind_of(Source.of_text("notes.txt", text)).style is None

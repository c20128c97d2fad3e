"""Every spelling that scripts use comes to the right settings, in the right places."""

import pytest

from pincheck.model.setting import Activity, Setting
from pincheck.model.source import Source
from pincheck.readers import gcode


def settings(text: str) -> tuple[Setting, ...]:
    """Read one script that must have no mistakes."""
    reading = gcode.read([Source.of_text("part.g", text)])
    assert reading.problems == ()
    return reading.settings


def pairs(text: str) -> list[tuple[str, str, str]]:
    """Return section, key and value of every setting."""
    return [(it.section, it.key, it.value) for it in settings(text)]


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize(
    ("line", "values"),
    [
        ('M308 S1 P"temp0" Y"thermistor"', {"S": "1", "P": "temp0", "Y": "thermistor"}),
        ('m308 s1 p"temp0" y"thermistor"', {"S": "1", "P": "temp0", "Y": "thermistor"}),
        ('M308 S1 P"temp0" ; hot end', {"S": "1", "P": "temp0"}),
        ('M308 S1 P"temp0";hot end', {"S": "1", "P": "temp0"}),
        ('\tM308\tS1\tP"temp0"', {"S": "1", "P": "temp0"}),
        ('  M308 S1 P"temp0"  ', {"S": "1", "P": "temp0"}),
        ('M308 S1 P"a;b" (one; two) Y"c"', {"S": "1", "P": "a;b", "Y": "c"}),
        ('M308 S1 P"say ""x"""', {"S": "1", "P": 'say ""x""'}),
        ("M308 S1 Ptemp0 Ythermistor", {"S": "1", "P": "temp0", "Y": "thermistor"}),
        ("M308 S1 P^!io0.in", {"S": "1", "P": "^!io0.in"}),
        ("M308 S1 P1.temp0", {"S": "1", "P": "1.temp0"}),
        ('M308 S1 P"!^io1.in,zstop+out2"', {"S": "1", "P": "!^io1.in,zstop+out2"}),
        ('M308 S1 P""', {"S": "1", "P": ""}),
        ("M308 S1 P0:/sys/a.g", {"S": "1", "P": "0:/sys/a.g"}),
        ("m308 S1 ptemp Ycbed", {"S": "1", "P": "temp", "Y": "cbed"}),
        ("M308 S1 ptemp", {"S": "1", "P": "temp"}),
        ("M308 S1 Pnil", {"S": "1", "P": "nil"}),
        ("M308 S1 T100000 B4725 C7.06e-8", {"S": "1", "T": "100000", "B": "4725", "C": "7.06e-8"}),
        ("M308 S1T100000B4725C7.06e-8R4700", {"S": "1", "T": "100000", "B": "4725",
                                              "C": "7.06e-8", "R": "4700"}),
        ("M308 S1 H-1 A+2 L.5 K3.", {"S": "1", "H": "-1", "A": "+2", "L": ".5", "K": "3."}),
        ("M308 S1 H0:1:-2 K0.35:0.20", {"S": "1", "H": "0:1:-2", "K": "0.35:0.20"}),
        ("M308 S1 X Y Z", {"S": "1", "X": "", "Y": "", "Z": ""}),
        ("M308 S1 H ; off", {"S": "1", "H": ""}),
        ("M308 S 1 B 3950", {"S": "1", "B": "3950"}),
        ('M308 S1 P "temp0"', {"S": "1", "P": "temp0"}),
        ("M308 S1 'a5 'b6 A7", {"S": "1", "a": "5", "b": "6", "A": "7"}),
        ('M308 S1 A"Wärme (1)" B1', {"S": "1", "A": "Wärme (1)", "B": "1"}),
        ("N10 M308 S1 B3950*57", {"S": "1", "B": "3950"}),
        ("N10 M308 S1 B3950 *57", {"S": "1", "B": "3950"}),
    ],
)  # fmt: skip
def test_letters_and_values(line: str, values: dict[str, str], newline: str) -> None:
    """Each letter of a command is a setting whose value has its exact place, quotes left out."""
    text = f"; start{newline}{line}{newline}M84{newline}"
    *found, last = settings(text)
    assert {it.key: it.value for it in found} == values
    assert [it.key for it in found] == list(values)
    for it in found:
        assert (it.section, it.span.line, it.activity) == ("M308 S1", 2, Activity.ACTIVE)
        assert text[it.value_start : it.value_end] == it.value
        assert text[it.key_start : it.key_end] in (it.key, it.key.lower())
        assert it.resolved == it.value.replace('""', '"')
        quoted = text[it.value_end : it.value_end + 1] == '"'
        assert (it.start, it.end) == (
            it.key_start - (it.key in "ab"),
            it.value_end + quoted,
        )
    assert (last.section, last.key, last.value) == ("M84", "", "")


@pytest.mark.parametrize(
    ("line", "sections"),
    [
        ("M308 S0 B1", ["M308 S0"]),
        ("M0308 S007 B1", ["M308 S7"]),
        ("M305 P1 T100000", ["M305 P1"]),
        ('M950 H0 C"out0" T1', ["M950 H0"]),
        ('M950 F2 C"fan2" Q500', ["M950 F2"]),
        ('M950 J1 C"io1.in"', ["M950 J1"]),
        ('M950 S0 C"servo0"', ["M950 S0"]),
        ('M950 C"fan2" F2', ["M950 F2"]),
        ("M106 P0 H1 T45", ["M106 P0"]),
        ("M106 S0", ["M106"]),
        ("M563 P0 D0 H1", ["M563 P0"]),
        ("M569 P3 S0", ["M569 P3"]),
        ("M569.1 P50.0 R1", ["M569.1 P50.0"]),
        ("M143 H1 S280", ["M143 H1"]),
        ("M143 H1 P0 S280", ["M143 H1"]),
        ("M143 P1 H1 S280 A2", ["M143 H1 P1"]),
        ("M143 P1 S280", ["M143 P1"]),
        ("M307 H1 B0", ["M307 H1"]),
        ("M570 H1 P8", ["M570 H1"]),
        ("M558 P5 H5", ["M558"]),
        ("M558 K1 P8", ["M558 K1"]),
        ("M140 H-1", ["M140 H-1"]),
        ("M280 P0 S10", ["M280 P0"]),
        ('M574 X1 S1 P"xstop"', ["M574 X"]),
        ("M574 X1 Y2 S1", ["M574 X", "M574 Y"]),
        ("M906 X800 E600", ["M906"]),
        ("M584 X0 Y1", ["M584"]),
        ("M106 P0:1 S0", ["M106 P0:1"]),
        ("M106 P{1 + 1} S0", ["M106 P2"]),
        ("M106 P{state.x} S0", ["M106 P{state.x}"]),
        ("G31 P500 Z1.2", ["G31"]),
        ("T0", ["T0"]),
        ("T-1", ["T-1"]),
        ("T", ["T"]),
    ],
)
def test_section_says_what_the_command_is_about(line: str, sections: list[str]) -> None:
    """The command comes with its selector, whatever the order of its letters."""
    assert list(dict.fromkeys(it.section for it in settings(line))) == sections


def test_axes_share_the_other_letters() -> None:
    """A command about several axes gives its letters once for each axis."""
    assert pairs('M574 X1 Y2 S1 P"zstop"') == [
        ("M574 X", "X", "1"),
        ("M574 X", "S", "1"),
        ("M574 X", "P", "zstop"),
        ("M574 Y", "Y", "2"),
        ("M574 Y", "S", "1"),
        ("M574 Y", "P", "zstop"),
    ]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("G91 G1 Z5 F600", [("G91", "", ""), ("G1", "Z", "5"), ("G1", "F", "600")]),
        ("G91G1Z5F600", [("G91", "", ""), ("G1", "Z", "5"), ("G1", "F", "600")]),
        ("M106 P1 m42 p2", [("M106 P1", "P", "1"), ("M42 P2", "P", "2")]),
        (
            'M106 P1 C"G1 M3" G90',
            [("M106 P1", "P", "1"), ("M106 P1", "C", "G1 M3"), ("G90", "", "")],
        ),
        ("M550 PMarsh230 G21", [("M550", "P", "Marsh230"), ("G21", "", "")]),
        ("M106 P1 (G1) M42 P2", [("M106 P1", "P", "1"), ("M42 P2", "P", "2")]),
    ],
)
def test_two_commands_on_a_line(line: str, expected: list[tuple[str, str, str]]) -> None:
    """G or M with a number begins the next command, outside of quotes and words."""
    assert pairs(line) == expected


def test_text_to_the_end_of_the_line() -> None:
    """A message is one value, whatever letters it holds."""
    assert pairs("M117 Heating G1 M104 ; now") == [("M117", "", "Heating G1 M104")]


@pytest.mark.parametrize("line", ["; note", "  ; note", "(note)", " (M106 P1) ; x", "N5", ";", ""])
def test_lines_without_a_command(line: str) -> None:
    """Remarks yield nothing."""
    assert settings(f"{line}\n") == ()


@pytest.mark.parametrize(
    ("line", "values"),
    [
        (";M106 P1 H1 T45", ["1", "1", "45"]),
        ("; M106 P1 H1 T45 ; watched", ["1", "1", "45"]),
        (";; m106 p1 h1 t45", ["1", "1", "45"]),
        ("\t;\tM106 P1 H1 T45", ["1", "1", "45"]),
        ("; M106 P1 H1 watched by heater 1", ["1", "1"]),
        ("; M106 sets the fan", []),
        ("; fan M106 P1", []),
        ("; M106P", [""]),
    ],
)
def test_commented_out_command(line: str, values: list[str]) -> None:
    """A command in a whole-line comment is known, with the mark in its span; prose is not."""
    found = settings(line)
    assert [it.value for it in found] == values
    for it in found:
        assert it.activity is Activity.COMMENTED
        assert it.source.text[it.start] == ";"
        assert it.source.text[it.value_start : it.value_end] == it.value


def test_comment_behind_a_command_is_no_command() -> None:
    """A remark that mentions a command is a remark."""
    assert pairs("M106 P1 ; M106 P2") == [("M106 P1", "P", "1")]


def test_later_commands_stay_in_order() -> None:
    """Which letters override which is for those who know the commands."""
    found = settings("M106 P0 S0\nM106 P0 H1\n")
    assert [(it.value, it.activity) for it in found] == [
        ("0", Activity.ACTIVE),
        ("0", Activity.ACTIVE),
        ("0", Activity.ACTIVE),
        ("1", Activity.ACTIVE),
    ]

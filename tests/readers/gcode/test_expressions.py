"""Expressions and variables come to values where the scripts decide them, else to a reason."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.model.source import Source
from pincheck.readers import gcode
from pincheck.readers.gcode.expression import NotKnown, Scope, Unreadable, as_text, evaluate

NAMES = Scope({"var.a": 3, "var.b": "out1", "global.l": (1, 2, 3), "var.u": NotKnown("it moves")})


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1 + 2 * 3", 7),
        ("(1 + 2) * 3", 9),
        ("10 / 4", 2.5),
        ("7 % 4", 3),
        ("-2 - -3", 1),
        ("+5", 5),
        ("0x1F", 31),
        ("7.06e-8", 7.06e-8),
        (".5", 0.5),
        ("1 < 2", True),
        ("2 <= 1", False),
        ("1 = 1", True),
        ("1 == 2", False),
        ("1 != 2", True),
        ("!true", False),
        ("true && false", False),
        ("true & true", True),
        ("false || true", True),
        ("false | false", False),
        ("1 < 2 ? 5 : 6", 5),
        ("false ? 5 : true ? 7 : 8", 7),
        ('"fan" ^ 1 + 1', "fan2"),
        ('"say ""x"""', 'say "x"'),
        ("'c'", "c"),
        ("null", None),
        ("pi", math.pi),
        ("max(1, var.a, 2)", 3),
        ("min(4, 2)", 2),
        ("abs(-4)", 4),
        ("floor(2.7)", 2),
        ("var.a * 2", 6),
        ("var.b", "out1"),
        ("global.l", (1, 2, 3)),
        ("global.l[var.a - 1]", 3),
        ("#global.l", 3),
        ("{1, 2 + 1}", (1, 3)),
        ("{var.a}", 3),
        ("[4, 5]", (4, 5)),
        ("exists(var.a)", True),
        ("exists(global.none)", False),
        ("false && move.axes[0].homed", False),
        ("move.axes[0].homed || true", True),
    ],
)
def test_values(text: str, value: object) -> None:
    """Constants, operators, functions and known variables."""
    found = evaluate(text, NAMES)
    assert found == value
    assert type(found) is type(value)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("move.axes[0].homed", "move.axes.homed is known only while the machine runs"),
        ("iterations < 4", "iterations is known only while the machine runs"),
        ("var.u + 1", "it moves"),
        ("true && var.u", "it moves"),
        ("var.u ? 1 : 2", "it moves"),
        ("exists(move.axes)", "move.axes may exist or not"),
        ("random(4)", "random() is known only while the machine runs"),
        ("global.l[9]", "global.l has no such element"),
        ("1 / 0", "1 / 0 has no value"),
        ('"a" * 2.5', '"a" * 2.5 has no value'),
        ('-"a"', '-"a" has no value'),
        ("99999 * 99999", "the number is too large"),
    ],
)
def test_unknown(text: str, reason: str) -> None:
    """What only the running machine knows says so."""
    assert evaluate(text, NAMES) == NotKnown(reason)


@pytest.mark.parametrize(
    ("text", "at", "expected"),
    [
        ("1 +", 3, "a value"),
        ("(1 + 2", 6, "`)`"),
        ("1 2", 2, "an operator or the end"),
        ("* 2", 0, "a value"),
        ("", 0, "a value"),
        ("var.a $ 2", 6, "an operator or the end"),
    ],
)
def test_unreadable(text: str, at: int, expected: str) -> None:
    """A text that is no expression says where and what was expected."""
    found = evaluate(text, NAMES)
    assert isinstance(found, Unreadable)
    assert found.at == at
    assert found.expected in (expected, "`)`" if expected.startswith("an op") else expected)


NUMBERS = st.integers(1, 99).map(str)
SUMS = st.recursive(
    NUMBERS, lambda inner: st.builds("({} {} {})".format, inner, st.sampled_from("+-*"), inner),
    max_leaves=8,
)  # fmt: skip


@given(SUMS)
def test_arithmetic_agrees_with_pythons(text: str) -> None:
    """Python's own evaluation is the oracle for whole numbers."""
    expected = eval(text)
    if abs(expected) < 2**31:
        found = evaluate(text, Scope({}))
        assert isinstance(found, int)
        assert as_text(found) == str(expected)


@given(st.text("12+-*/(){}[]\"'&|!?:^ avr.,=<>#", max_size=40))
def test_no_text_breaks_it(text: str) -> None:
    """Any text comes to a value, a reason or a place."""
    evaluate(text, NAMES)


def resolved(text: str) -> list[str | None]:
    """Return what the last command's letters come to."""
    reading = gcode.read([Source.of_text("config.g", text)])
    assert reading.problems == ()
    last = reading.settings[-1].span.line
    return [it.resolved for it in reading.settings if it.span.line == last]


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ('var pin = "out1"\nM950 F0 C{var.pin}', ["0", "out1"]),
        ('var pin = "out1" ; fan\nM950 F0 C{"!" ^ var.pin}', ["0", "!out1"]),
        ("global hz = 250\nset global.hz = global.hz * 2\nM950 F0 Q{global.hz}", ["0", "500"]),
        ("var hz = 250\nM950 F0 Qvar.hz", ["0", "250"]),
        ("var c = 800\nM906 X{var.c}:{var.c / 2}:100", ["800:400:100"]),
        ("M906 X{700, 800}", ["700:800"]),
        ('M950 F0 C{1 > 2 ? "a" : "b"}', ["0", "b"]),
        ("M106 P0 S{fans[0].requestedValue}", ["0", None]),
        ("M106 P{fans.count} S1", [None, "1"]),
        ('M118 S{"a } b"}', ["a } b"]),
    ],
)
def test_parameters(text: str, values: list[str | None]) -> None:
    """A value in braces is what the variables make of it."""
    assert resolved(text) == values


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("M106 P0 S{var.none}", "var.none is known only while the machine runs"),
        (
            "if true\n  var x = 1\nM106 P0 S{var.x}",
            "var.x is known only while the machine runs",
        ),
        (
            "var x = 1\nif sensors.a\n  set var.x = 2\nM106 P0 S{var.x}",
            "var.x is set only if sensors.a",
        ),
        (
            "var x = 1\nwhile iterations < 3\n  M106 P0 S{var.x}\n  set var.x = var.x + 1",
            "var.x changes in a loop",
        ),
        (
            "var x = 1\nwhile true\n  set var.x = 2\nM106 P0 S{var.x}",
            "var.x changes in a loop",
        ),
        (
            "global l = {1, 2}\nset global.l[0] = 3\nM106 P0 S{global.l}",
            "global.l is changed in part",
        ),
        ('M106 P0 S"a"\nM106 P0 Sx{1}', "the value mixes text and expressions"),
    ],
)
def test_variables_that_nobody_knows(text: str, reason: str) -> None:
    """A variable that may have changed is unknown, with the reason."""
    reading = gcode.read([Source.of_text("config.g", text)])
    setting = [it for it in reading.settings if it.key == "S"][-1]
    assert (setting.resolved, setting.unknown) == (None, reason)


def test_variable_set_in_a_branch_that_runs() -> None:
    """A branch that is surely taken, or surely not, leaves the variable known."""
    text = "var x = 1\nif 1 < 2\n  set var.x = 2\nelse\n  set var.x = 3\nM106 P0 S{var.x}"
    assert resolved(text) == ["0", "2"]


def test_variable_that_is_made_at_the_first_run() -> None:
    """At power-on no global variable exists yet, so that the usual guard is passed."""
    text = "if !exists(global.x)\n  global x = 5\nM106 P0 S{global.x}"
    assert resolved(text) == ["0", "5"]


def test_script_that_was_not_sent_may_have_made_it() -> None:
    """After a script that nobody has seen, the guard decides nothing."""
    text = 'M98 P"gone.g"\nif !exists(global.x)\n  global x = 5\nM106 P0 S{global.x}'
    reading = gcode.read([Source.of_text("config.g", text)])
    assert reading.settings[-1].unknown == "global.x is set only if !exists(global.x)"
    caller = Source.of_text("config.g", 'M98 P"gone.g"\nM98 P"a.g"\n')
    called = Source.of_text("a.g", text.partition("\n")[2])
    reading = gcode.read([caller, called])
    assert reading.settings[-1].unknown == "global.x is set only if !exists(global.x)"

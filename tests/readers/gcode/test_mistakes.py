"""Each mistake is told once, in its place, in words, and hides nothing else."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pincheck.model.reading import Reading
from pincheck.model.source import Source
from pincheck.readers import gcode


def read(text: str) -> Reading:
    """Read one script."""
    return gcode.read([Source.of_text("config.g", text)])


REMARK = "expected `;` in front of a remark"
FORMS = "expected a command such as `M106 P1`, or `;` in front of a remark"


@pytest.mark.parametrize(
    ("line", "told", "values"),
    [
        ("fan of the tool", f"2:1: words that are no command and no remark; {FORMS}", []),
        ("M106 P1 S255 fan on full", f"2:14: words that belong to no command; {REMARK}",
         ["1", "255"]),
        ("M106 P1 S255 Fan on full", f"2:18: words that belong to no command; {REMARK}",
         ["1", "255"]),
        ("M106 P1 S255 part cooling", f"2:14: words that belong to no command; {REMARK}",
         ["1", "255"]),
        ("M106 P1 S255 Part cooling", f"2:14: words that belong to no command; {REMARK}",
         ["1", "255"]),
        ("M563 P0 D0 cooling fan", f"2:20: words that belong to no command; {REMARK}",
         ["0", "0"]),
        ("M106 P1 = 5", f"2:9: words that belong to no command; {REMARK}", ["1"]),
        ('M308 S1 P"temp0', '2:10: a quote is not closed; expected `"` at the end of the text',
         ["1"]),
        ('M308 S1 P"temp0 Y"thermistor"', '2:29: a quote is not closed; expected `"` at the end '
         "of the text", ["1"]),
        ("M106 P1 S{1 +", "2:10: an expression is not closed; expected `}` at its end", ["1"]),
        ("M106 P1 S{1 +}", "2:14: the expression cannot be read; expected a value",
         ["1", "{1 +}"]),
        ("M106 P{1 +} S1", "2:11: the expression cannot be read; expected a value",
         ["{1 +}", "1"]),
        ("M 106 P1", "2:1: a blank stands inside the command; expected no blank; did you mean "
         "'M106'?", []),
        ("M1O6 P1", "2:1: a letter O stands where a zero belongs; expected a number; did you "
         "mean 'M106'?", []),
        ("X10 Y20", f"2:1: letters without a command in front of them; {FORMS}", []),
        ("// fan", "2:1: a remark in another language's spelling; expected `;` in front of a "
         "remark", []),
        ("# fan", "2:1: a remark in another language's spelling; expected `;` in front of a "
         "remark", []),
        ("[extruder]", f"2:1: a section's header, which no script has; {FORMS}", []),
        ("<html>", f"2:1: markup of a web page, not a script; {FORMS}", []),
        ("<<<<<<< mine", "2:1: two versions of these lines stand here, left by a merge; expected "
         "one of them, without the marks", []),
        ("=======", "2:1: a mark of an unfinished merge; expected one of both sides", []),
        ("var x", "2:1: `var` gives no variable a value; expected `var name = value`", []),
        ("set global.x =", "2:1: `set` gives no variable a value; expected `set name = value`",
         []),
        ("global x = 1 +", "2:15: the expression cannot be read; expected a value", []),
        ("if", "2:1: `if` has no condition; expected a condition behind it", []),
        ("while (1 < 2", "2:13: the expression cannot be read; expected `)`", []),
        ("else", "2:1: no `if` of the same indentation stands above this `else`; expected `if` "
         "and the same blanks", []),
        ("elif true", "2:1: no `if` of the same indentation stands above this `elif`; expected "
         "`if` and the same blanks", []),
    ],
)  # fmt: skip
def test_broken_line(line: str, told: str, values: list[str]) -> None:
    """The place, the line itself and what was expected are given; all other lines are read."""
    reading = read(f"M1\n{line}\nM2\n")
    (problem,) = reading.problems
    assert str(problem) == f"config.g:{told}"
    assert problem.text == line
    first, *middle, last = reading.settings
    assert (first.section, last.section) == ("M1", "M2")
    assert [it.value for it in middle] == values


def test_prose_is_told_once() -> None:
    """A stretch of prose is one mistake, and yields no settings."""
    reading = read("M1\n" + "This script is for the printer\n" * 5 + "M2\n")
    assert [it.message for it in reading.problems] == [
        "words that are no command and no remark (this line and 4 more)"
    ]
    assert [it.section for it in reading.settings] == ["M1", "M2"]


def test_mistakes_of_a_script_called_twice() -> None:
    """They count once."""
    sources = [
        Source.of_text("config.g", 'M98 P"a.g"\nM98 P"a.g"\n'),
        Source.of_text("a.g", "what is this\nM106 P0 S{1 +}\n"),
    ]
    assert [str(it.span) for it in gcode.read(sources).problems] == ["a.g:1:1", "a.g:2:14"]


def test_unreadable_condition_makes_its_block_possible() -> None:
    """A condition that cannot be read decides nothing."""
    reading = read("if 1 +\n  M1\n")
    assert [(it.activity.name, it.condition) for it in reading.settings] == [("POSSIBLE", "1 +")]


@given(st.text("GMTPS01.:\"'{};() \n\tifelsvar=x*", max_size=80))
def test_any_text_is_read(text: str) -> None:
    """Whatever a script holds, every setting has its true place."""
    source = Source.of_text("config.g", text)
    for it in gcode.read([source]).settings:
        assert source.text[it.value_start : it.value_end] == it.value
        assert it.start <= it.key_start <= it.key_end <= it.value_start <= it.value_end <= it.end
        assert "\n" not in source.text[it.start : it.end]


def test_unfinished_merge() -> None:
    """Both sides of a merge are possible, said once, and what follows is sure again."""
    text = "M106 P0 S1\n<<<<<<< mine\nM106 P1 S1\n=======\nM106 P2 S1\n>>>>>>> yours\nM106 P3 S1\n"
    reading = gcode.read([Source.of_text("config.g", text)])
    assert [problem.span and problem.span.line for problem in reading.problems] == [2]
    assert {(it.section, it.activity.name, it.condition) for it in reading.settings} == {
        ("M106 P0", "ACTIVE", ""),
        ("M106 P1", "POSSIBLE", "the merge begun in line 2 ends so"),
        ("M106 P2", "POSSIBLE", "the merge begun in line 2 ends so"),
        ("M106 P3", "ACTIVE", ""),
    }

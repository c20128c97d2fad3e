"""Each mistake is told once, in its place, in words, and hides nothing else."""

import pytest

from pincheck.model.reading import Reading
from pincheck.model.setting import Activity
from pincheck.model.source import Source
from pincheck.readers import section


def read(text: str) -> Reading:
    """Read one file."""
    return section.read([Source.of_text("machine.cfg", text)])


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("pin PA1", "3:4: nothing separates 'pin' from its value; expected `:` between key and "
         "value; did you mean 'pin: PA1'?"),
        ("  heater_temp 50 # C", "3:14: nothing separates 'heater_temp' from its value; expected "
         "`:` between key and value; did you mean 'heater_temp: 50'?"),
        ("pin", "3:4: 'pin' has no value; expected `key: value`"),
        ("pin:", "3:5: 'pin' has no value; expected a value"),
        ("pin:   # later", "3:8: 'pin' has no value; expected a value"),
        (": PA1", "3:1: there is no key; expected `key: value`"),
        ("[]", "3:2: the section has no name; expected a name between `[` and `]`"),
        ("{% endif %}", "3:1: a template line at the margin; expected blanks in front of it"),
        ("<html><body>", "3:1: markup of a web page, not configuration; expected `[section]`, "
         "`key: value`, or `#` in front of a remark"),
        ("part fan of the tool", "3:1: words that are no setting and no remark; expected "
         "`[section]`, `key: value`, or `#` in front of a remark"),
        ("*pin: PA1", "3:1: no key begins with '*'; expected `[section]`, "
         "`key: value`, or `#` in front of a remark"),
        ("  pin: PA1", "3:3: the line is read as part of 'max_power', being indented; expected "
         "no blanks in front of it"),
    ],
)  # fmt: skip
def test_broken_line(line: str, told: str) -> None:
    """The place, the line itself and what was expected are given; all other lines are read."""
    # A key at the margin takes the indented lines that follow it for its value.
    above = "max_power: 1" if line.startswith("  pin") else "# above"
    reading = read(f"[extruder]\n{above}\n{line}\n[fan]\npin: PA9\n")
    (problem,) = reading.problems
    assert str(problem) == f"machine.cfg:{told}"
    assert problem.text == line
    assert [(it.section, it.value) for it in reading.settings][-1] == ("fan", "PA9")


@pytest.mark.parametrize(
    ("header", "told"),
    [
        ("[extruder", "1:10: the section's name is not closed; expected `]`; did you mean "
         "'[extruder]'?"),
        ("[heater_fan  hot # fan", "1:17: the section's name is not closed; expected `]`; did "
         "you mean '[heater_fan hot]'?"),
        ("[extruder}", "1:11: the section's name is not closed; expected `]`; did you mean "
         "'[extruder]'?"),
        ("extruder]", "1:1: the section's name is not opened; expected `[`; did you mean "
         "'[extruder]'?"),
    ],
)  # fmt: skip
def test_broken_header_still_opens_its_section(header: str, told: str) -> None:
    """The keys below belong to the section that was meant."""
    reading = read(f"{header}\n  pin: PA1\n")
    (problem,) = reading.problems
    assert str(problem) == f"machine.cfg:{told}"
    assert [(it.section, it.value) for it in reading.settings] == [
        ("heater_fan hot" if "fan" in header else "extruder", "PA1")
    ]


def test_prose_is_told_once() -> None:
    """A page of text is one mistake that says how long it is."""
    prose = "Some words about the printer\nand how it prints\n\nwith more words\n" * 3
    reading = read(f"[fan]\n{prose}pin: PA1\n")
    assert [it.message for it in reading.problems] == [
        "words that are no setting and no remark (this line and 1 more)",
        "words that are no setting and no remark (this line and 2 more)",
        "words that are no setting and no remark (this line and 2 more)",
        "words that are no setting and no remark",
    ]
    assert [it.value for it in reading.settings] == ["fan", "PA1"]


def test_settings_above_every_section() -> None:
    """They are told once, for they are no claim about anything."""
    reading = read("pin: PA1\nmax_power: 1\n[fan]\npin: PA2\n")
    assert [str(it.span) for it in reading.problems] == ["machine.cfg:1:1"]
    assert reading.problems[0].message.endswith("(this line and 1 more)")
    assert [it.value for it in reading.settings] == ["fan", "PA2"]


def test_unfinished_merge() -> None:
    """Both sides of a merge conflict are possible, neither is sure."""
    text = "[fan]\n<<<<<<< mine: a\npin: PA1\n=======\npin: PA2\n>>>>>>> theirs = b\nmax_power: 1\n"
    reading = read(text)
    assert [(it.span and it.span.line, it.message) for it in reading.problems] == [
        (2, "two versions of these lines stand here, left by a merge")
    ]
    assert [(it.value, it.activity, it.condition) for it in reading.settings if it.key] == [
        ("PA1", Activity.POSSIBLE, "the merge begun in line 2 ends so"),
        ("PA2", Activity.POSSIBLE, "the merge begun in line 2 ends so"),
        ("1", Activity.ACTIVE, ""),
    ]


def test_lines_below_a_broken_key_are_no_settings() -> None:
    """A template whose key is broken is one mistake."""
    reading = read("[gcode_macro X]\ngcode\n  M104 S200\n  max_temp: 5\n[fan]\npin: PA1\n")
    assert len(reading.problems) == 1
    assert [it.value for it in reading.settings if it.key] == ["PA1"]


@pytest.mark.parametrize("key", ["gcode", "on_error_gcode", "description", "text"])
def test_keys_that_may_be_empty(key: str) -> None:
    """An empty script or text is no mistake."""
    assert read(f"[a]\n{key}:\n").problems == ()


def test_continued_values_that_look_like_keys() -> None:
    """Lists, aliases and templates go on in lines like keys without a mistake."""
    text = "[a]\naliases: A=PB1,\n  b=PB2\nother:\n  c=PB3\n  d=PB4\ngcode: M117 x\n  key: v\n"
    assert read(text).problems == ()

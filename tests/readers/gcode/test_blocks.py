"""Which settings are sure, possible or disabled under conditions and in loops."""

import pytest

from pincheck.model.setting import Activity
from pincheck.model.source import Source
from pincheck.readers import gcode


def found(text: str) -> list[tuple[str, str, str]]:
    """Return command, activity and condition of every setting of a script without mistakes."""
    reading = gcode.read([Source.of_text("config.g", text)])
    assert reading.problems == ()
    return [(it.section, it.activity.name, it.condition) for it in reading.settings]


@pytest.mark.parametrize("indent", ["  ", "\t", "    ", " "])
def test_chain_of_branches(indent: str) -> None:
    """Each branch holds under its own condition and the refusal of those before it."""
    lines = ["if a.b", ">M1", "elif c.d ; or", ">M2", "else", ">M3", "M4"]
    text = "\n".join(line.replace(">", indent) for line in lines)
    assert found(text) == [
        ("M1", "POSSIBLE", "a.b"),
        ("M2", "POSSIBLE", "not (a.b) and c.d"),
        ("M3", "POSSIBLE", "not (a.b) and not (c.d)"),
        ("M4", "ACTIVE", ""),
    ]


@pytest.mark.parametrize(
    ("head", "first", "second"),
    [
        ("if true", "ACTIVE", "DISABLED"),
        ("if 1 > 2", "DISABLED", "ACTIVE"),
        ("if a.b", "POSSIBLE", "POSSIBLE"),
        ("if (1 < 2)", "ACTIVE", "DISABLED"),
        ("if(1 < 2)", "ACTIVE", "DISABLED"),
        ("if {1 < 2}", "ACTIVE", "DISABLED"),
    ],
)
def test_constant_conditions(head: str, first: str, second: str) -> None:
    """A condition that the script decides makes its branches sure or disabled."""
    assert [it[1] for it in found(f"{head}\n  M1\nelse\n  M2\n")] == [first, second]


def test_branch_after_one_that_is_taken() -> None:
    """Nothing behind a branch that surely runs can run."""
    activities = [
        it[1] for it in found("if a.b\n  M1\nelif true\n  M2\nelif c.d\n  M3\nelse\n  M4")
    ]
    assert activities == ["POSSIBLE", "POSSIBLE", "DISABLED", "DISABLED"]


def test_nested_blocks() -> None:
    """All conditions around a setting are named; a refused one outside disables all inside."""
    text = (
        "if a.b\n  while c.d\n    M1\n    if false\n      M2\n  M3\nM4\n"
        "if false\n  if a.b\n    M5\n"
    )
    assert found(text) == [
        ("M1", "POSSIBLE", "a.b and c.d"),
        ("M2", "DISABLED", "a.b and c.d and false"),
        ("M3", "POSSIBLE", "a.b"),
        ("M4", "ACTIVE", ""),
        ("M5", "DISABLED", "false and a.b"),
    ]


def test_tab_and_blanks_mixed() -> None:
    """A tab leads to the next multiple of four."""
    text = "if a.b\n\tM1\n    M2\n  \tM3\nM4\n"
    assert [it[1] for it in found(text)] == ["POSSIBLE", "POSSIBLE", "POSSIBLE", "ACTIVE"]


def test_comments_and_blank_lines_end_no_block() -> None:
    """Only a line that does something ends a block."""
    text = "if a.b\n\n; note\n  M1\n\n; M2\n  M3\n"
    assert [it[1] for it in found(text)] == ["POSSIBLE", "COMMENTED", "POSSIBLE"]


def test_indented_commands_without_a_condition() -> None:
    """Blanks in front of a command mean nothing by themselves."""
    assert [it[1] for it in found("M1\n    M2\n  M3\n")] == ["ACTIVE"] * 3


@pytest.mark.parametrize("word", ['echo "M1 ; P2"', "break", "continue", "echo 1 ^ 2 ; M3"])
def test_statements_that_set_nothing(word: str) -> None:
    """Output and jumps inside loops are no settings."""
    assert found(f"while a.b\n  {word}\nM1\n") == [("M1", "ACTIVE", "")]


@pytest.mark.parametrize("end", ["M99", 'abort "why"'])
def test_script_that_ends_early(end: str) -> None:
    """What follows the end is disabled, or possible where the end is."""
    sure = [it for it in found(f"M1\n{end}\nM2\n") if it[0] != "M99"]
    assert sure == [("M1", "ACTIVE", ""), ("M2", "DISABLED", "line 2 does not end the script")]
    maybe = [it for it in found(f"if a.b\n  {end}\nM2\n") if it[0] != "M99"]
    assert maybe == [("M2", "POSSIBLE", "line 2 does not end the script")]
    never = [it for it in found(f"if false\n  {end}\nM2\n") if it[0] != "M99"]
    assert never == [("M2", "ACTIVE", "")]


def test_possible_settings_name_their_condition() -> None:
    """The model's own sentence reads well with it."""
    reading = gcode.read([Source.of_text("config.g", "if   exists( move.axes[3] )\n  M106 P1")])
    (setting,) = reading.settings
    assert setting.activity is Activity.POSSIBLE
    assert setting.condition == "exists( move.axes[3] )"

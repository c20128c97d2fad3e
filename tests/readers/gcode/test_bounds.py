"""Hostile scripts end in a clear error, soon and in little memory."""

import pytest

from pincheck.model import limits
from pincheck.model.problem import UnreadableError
from pincheck.model.source import Source
from pincheck.readers import gcode


def refused(*files: tuple[str, str]) -> str:
    """Return why a machine is refused whose first file is the main one."""
    sources = [Source.of_text(name, text) for name, text in files]
    with pytest.raises(UnreadableError) as error:
        gcode.read(sources, sources[0])
    (problem,) = error.value.problems
    assert problem.fatal
    where, _, why = str(problem).partition(": ")
    told = (
        ", far beyond any machine: nothing was checked; expected the configuration of one machine"
    )
    assert why.endswith(told)
    return f"{where} {why.removesuffix(told)}"


def test_calls_that_multiply() -> None:
    """Scripts that each call the next many times are stopped at the bound."""
    files = [(f"f{n}.g", f'M98 P"f{n + 1}.g"\n' * 10) for n in range(12)]
    assert refused(*files, ("f12.g", "M1\n")) == "f11.g:2:1 more than 500 script calls"


def test_calls_of_scripts_not_sent() -> None:
    """Calls count whether or not the script is there."""
    text = "".join(f'M98 P"x{n}.g"\n' for n in range(limits.CALLS + 5))
    assert refused(("config.g", text)) == "config.g:501:1 more than 500 script calls"


def test_calls_that_nest_too_deep() -> None:
    """A long chain of calls is stopped at the bound."""
    files = [(f"f{n}.g", f'M98 P"f{n + 1}.g"\n') for n in range(limits.CALL_DEPTH + 5)]
    assert refused(*files) == "f16.g:1:1 scripts that call each other more than 16 deep"


def test_blocks_that_nest_too_deep() -> None:
    """Blocks within blocks are stopped at the bound."""
    text = "".join(f"{' ' * n}while a.b\n" for n in range(500))
    assert refused(("config.g", text)) == "config.g:65:70 blocks more than 64 deep"


def test_too_many_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    """Scripts with more settings are refused where the first of them too many stands."""
    monkeypatch.setattr(limits, "SETTINGS", 50)
    assert refused(("config.g", "M106 P0 S0\n" * 100)) == "config.g:26:1 more than 50 settings"


def test_too_many_things(monkeypatch: pytest.MonkeyPatch) -> None:
    """Scripts that set too many different things are refused."""
    monkeypatch.setattr(limits, "SECTIONS", 50)
    text = "".join(f"M106 P{n} S0\n" for n in range(100))
    assert refused(("config.g", text)) == "config.g:51:1 more than 50 different things are set"


def test_too_many_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lines that calls repeat count each time."""
    monkeypatch.setattr(limits, "LINES", 50)
    calls = 'M98 P"a.g"\n' * 10
    # A call and ten lines are 11, four times: the 51st line is the sixth of the fifth call.
    assert (
        refused(("config.g", calls), ("a.g", "echo 1\n" * 10))
        == "a.g:6:1 more than 50 lines in all"
    )


def test_too_many_expressions() -> None:
    """Expressions beyond the bound are unknown, never wrong."""
    count = limits.EXPRESSIONS_CHARS // limits.EXPRESSION_LEAST + 1
    text = "".join(f"M106 P{{{n}}}\n" for n in range(count))
    settings = gcode.read([Source.of_text("config.g", text)]).settings
    assert settings[0].resolved == "0"
    assert settings[-1].unknown == "there are more expressions than are worked out"


def test_lists_of_lists() -> None:
    """Lists that hold themselves again and again would double with each line."""
    text = "global x = {1, 2}\n" + "set global.x = {global.x, global.x}\n" * 200
    reading = gcode.read([Source.of_text("config.g", text + "M106 P0 S{global.x}\n")])
    assert reading.settings[-1].unknown == "a list of lists is not worked out"


def test_conditions_that_grow() -> None:
    """The words of a condition stay short enough to be read."""
    text = "".join(f"{' ' * n}if a{'b' * 200}.c\n" for n in range(50)) + " " * 50 + "M1\n"
    (setting,) = gcode.read([Source.of_text("config.g", text)]).settings
    assert len(setting.condition) <= limits.CONDITION_CHARS + 4
    assert setting.condition.endswith(" ...")


@pytest.mark.parametrize("part", ["(", "!", "-", "{", "[", "1+", "#", "1?1:", "max(", "a["])
def test_expressions_that_nest_too_deep(part: str) -> None:
    """The longest expression that is read at all does not exhaust the stack."""
    room = limits.EXPRESSION_CHARS - 3
    reading = gcode.read([Source.of_text("config.g", f"var x = {part * (room // len(part))}1\n")])
    assert len(reading.problems) <= 1


def test_too_long_an_expression() -> None:
    """A longer expression is not read."""
    reading = gcode.read([Source.of_text("config.g", f"M106 P0 S{{{'1+' * 50_000}1}}\n")])
    (problem,) = reading.problems
    assert problem.expected == "a shorter expression"
    assert len(problem.text) <= limits.PROBLEM_CHARS


@pytest.mark.parametrize(
    ("start", "step"),
    [('"ab"', "global.x ^ global.x"), ("9", "global.x * global.x"), ("9.5", "global.x * 9999")],
)
def test_values_that_grow(start: str, step: str) -> None:
    """A text or number that is joined to itself again and again ends as unknown."""
    text = f"global x = {start}\n" + f"set global.x = {step}\n" * 300 + "M106 P0 S{global.x}\n"
    reading = gcode.read([Source.of_text("config.g", text)])
    assert reading.settings[-1].unknown in ("the text is too long", "the number is too large")


@pytest.mark.parametrize(
    "line",
    [
        "M106 " + "P1 " * 9_000,
        "M106 P" + "1:" * 150_000,
        "M106 P" + "1" * 300_000,
        "M106 P" + "a" * 300_000,
        'M106 P"' + '""' * 150_000,
        'M106 P"' + "a" * 300_000,
        "M106 P" + "{" * 100_000,
        "M106 P{" + '"' * 99_999,
        "M106 " + "(" * 300_000,
        "M106 " + "()" * 100_000,
        "M106" + " " * 300_000 + "x",
        "M106 P1 *" + "1" * 300_000,
        "M" + "1" * 300_000,
        ";" * 300_000,
        "if " + "(" * 300_000,
        "var " + "a" * 300_000,
        "set a" + "[" * 300_000,
        'echo "' + '""' * 150_000,
    ],
)
def test_long_lines(line: str) -> None:
    """No pattern takes more than linear time, so a long line is read like any other."""
    reading = gcode.read([Source.of_text("config.g", f"{line}\nM2\n")])
    assert reading.settings[-1].section == "M2"
    assert all(len(it.text) <= limits.PROBLEM_CHARS for it in reading.problems)

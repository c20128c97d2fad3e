"""Hostile files end in a clear error, soon and in little memory."""

import pytest

from pincheck.model import limits
from pincheck.model.problem import UnreadableError
from pincheck.model.source import Source
from pincheck.readers import section


def test_includes_that_multiply() -> None:
    """Files that each include the next many times are stopped at the bound."""
    names = [f"f{n}.cfg" for n in range(12)]
    sources = [
        Source.of_text(name, f"[include {after}]\n" * 10 + "[fan]\npin: PA1\n")
        for name, after in zip(names, [*names[1:], "gone.cfg"], strict=True)
    ]
    with pytest.raises(UnreadableError, match=r"^f11.cfg:.*: more than 500 includes, far beyond"):
        section.read(sources, sources[:1])


def test_includes_that_match_nothing() -> None:
    """Patterns that match no file are looked for only so often."""
    text = "".join(f"[include x{n}*.cfg]\n" for n in range(limits.INCLUDES + 50))
    sources = [Source.of_text("m.cfg", text), Source.of_text("a.cfg", "")]
    with pytest.raises(UnreadableError, match=f"^m.cfg:{limits.INCLUDES + 1}:1: more than 500 inc"):
        section.read(sources, sources[:1])


def test_includes_that_nest_too_deep() -> None:
    """A long chain of includes is stopped at the bound."""
    count = limits.INCLUDE_DEPTH + 5
    sources = [Source.of_text(f"f{n}.cfg", f"[include f{n + 1}.cfg]\n") for n in range(count)]
    with pytest.raises(UnreadableError, match=r"^f32\.cfg:1:1: includes more than 32 deep"):
        section.read(sources, sources[:1])


def test_too_many_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    """Files with more settings are refused where the first of them too many stands."""
    monkeypatch.setattr(limits, "SETTINGS", 50)
    with pytest.raises(UnreadableError) as refused:
        section.read([Source.of_text("m.cfg", "[fan]\n" + "pin: PA1\n" * 100)])
    (problem,) = refused.value.problems
    assert problem.fatal
    assert str(problem) == (
        "m.cfg:53:1: more than 50 settings, far beyond any machine: nothing was checked; "
        "expected the configuration of one machine"
    )
    assert problem.text == "pin: PA1"


def test_as_many_settings_as_are_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file just at the bound is read to its end; a header counts as one."""
    monkeypatch.setattr(limits, "SETTINGS", 50)
    reading = section.read([Source.of_text("m.cfg", "[fan]\n" + "pin: PA1\n" * 49)])
    assert (len(reading.settings), reading.problems) == (50, ())


def test_too_many_sections(monkeypatch: pytest.MonkeyPatch) -> None:
    """Sections are counted in all files together."""
    monkeypatch.setattr(limits, "SECTIONS", 3)
    sources = [
        Source.of_text("m.cfg", "[include a.cfg]\n[fan]\npin: PA1\n"),
        Source.of_text("a.cfg", "[probe]\n[servo]\n"),
    ]
    with pytest.raises(UnreadableError, match=r"^m.cfg:2:1: more than 3 sections"):
        section.read(sources, sources[:1])


def test_too_many_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that makes all files together too long is named."""
    monkeypatch.setattr(limits, "LINES", 5)
    sources = [
        Source.of_text("m.cfg", "[include a.cfg]\n[fan]\npin: PA1\n"),
        Source.of_text("a.cfg", "# one\n# two\n# three\n"),
    ]
    with pytest.raises(UnreadableError, match=r"^a.cfg:1:1: more than 5 lines in all"):
        section.read(sources, sources[:1])


def test_file_of_nothing_but_mistakes() -> None:
    """Only so many broken lines are looked at closely, and the settings below are read."""
    text = "[fan]\n" + "".join(f"line {n} is broken\n" for n in range(20_000)) + "pin: PA1\n"
    reading = section.read([Source.of_text("m.cfg", text)])
    (problem,) = reading.problems
    assert problem.message.endswith("(this line and 19999 more)")
    assert reading.settings[-1].value == "PA1"


def test_too_many_mistakes() -> None:
    """Only the first mistakes of a file are kept."""
    text = "[fan]\n" + "pin PA1\nkey\n" * 1_000
    reading = section.read([Source.of_text("m.cfg", text)])
    assert len(reading.problems) == limits.PROBLEMS + 1
    assert reading.problems[-1].message == "more mistakes follow that are not shown"


@pytest.mark.parametrize(
    "line",
    [
        "[" + "a" * 300_000,
        "[" * 300_000,
        "a" * 300_000,
        " " * 300_000 + "a",
        "a" + " " * 300_000 + "b",
        "a:" + " ;" * 150_000,
        "#" * 300_000,
        "# " + "[a" * 150_000,
        "#*# " * 75_000,
        ":" * 300_000,
        "<" * 300_000,
    ],
)
def test_long_lines(line: str) -> None:
    """No pattern takes more than linear time, so a long line is read like any other."""
    reading = section.read([Source.of_text("m.cfg", f"[fan]\nmax_power: 1\n{line}\n[x]\npin: PA1")])
    assert reading.settings[-1].value == "PA1"
    assert all(len(it.text) <= limits.PROBLEM_CHARS for it in reading.problems)

"""Hostile headers end in a plain problem and leave the rest readable."""

from collections.abc import Callable

import pytest

from pincheck.model import limits
from pincheck.model.reading import Reading

Read = Callable[..., Reading]


def told(found: Reading) -> list[str]:
    """Return the messages without their places."""
    return [problem.message for problem in found.problems]


def test_macros_that_double_each_other_are_cut_short(reading: Read) -> None:
    lines = [f"#define M{n} M{n + 1} M{n + 1}" for n in range(60)]
    found = reading("\n".join([*lines, "#define M60 x", "#define LAST 7"]))
    most = limits.DEFINE_EXPANSION
    assert told(found)[0].startswith(f"its macros come to more than {most} characters")
    assert (found.settings[0].resolved, found.settings[-1].resolved) == (None, "7")
    assert found.settings[0].unknown == f"its macros come to more than {most} characters"


def test_macros_that_double_each_other_in_a_condition(reading: Read) -> None:
    lines = [f"#define M{n} (M{n + 1} + M{n + 1})" for n in range(60)]
    found = reading("\n".join([*lines, "#define M60 1", "#if M0", "#define A", "#endif"]))
    assert f"its macros come to more than {limits.DEFINE_EXPANSION} characters" in told(found)
    assert found.settings[-1].activity.name == "POSSIBLE"


def test_arguments_that_double_themselves(reading: Read) -> None:
    found = reading("#define T(x) x x x x\n#define A " + "T(" * 30 + "1" + ")" * 30)
    assert told(found) == [f"its macros come to more than {limits.DEFINE_EXPANSION} characters"]


def test_long_texts_that_repeat(reading: Read) -> None:
    found = reading(f'#define T "{"x" * 9000}"\n#define A T T T T T T T T T T T T\n#define B 1')
    assert told(found) == [f"its macros come to more than {limits.DEFINE_EXPANSION} characters"]


def test_many_values_that_are_each_within_bounds(reading: Read) -> None:
    bomb = [f"#define M{n} M{n + 1} M{n + 1}" for n in range(9)]
    many = [f"#define V{n} M0 {n}" for n in range(2000)]
    found = reading("\n".join([*bomb, "#define M9 xxxxxxxxxx", *many, "#define LAST (1+1)"]))
    most = limits.DEFINE_EXPANSIONS
    assert any(
        f"all macros together come to more than {most}" in message for message in told(found)
    )
    assert len(found.problems) <= limits.PROBLEMS + 1
    assert found.settings[-1].resolved == "2"


def test_calls_inside_calls(reading: Read) -> None:
    found = reading("#define F(x) x\n#define A " + "F(" * 500 + "1" + ")" * 500)
    assert told(found) == [f"macros call each other more than {limits.DEFINE_CALL_DEPTH} deep"]


@pytest.mark.parametrize("value", ["ENABLED(A)", "ENABLED(B) ENABLED(B)"])
def test_calls_that_ask_for_themselves_come_to_an_end(reading: Read, value: str) -> None:
    found = reading(f"#define A {value}\n#define B {value}\n#if ENABLED(A)\n#define C\n#endif")
    assert found.settings[-1].key == "C"


def test_conditionals_nested_without_end(reading: Read) -> None:
    deep = 5_000
    text = "#if 1\n" * deep + "#define DEEP\n" + "#else\n#endif\n" * deep + "#define LAST 1"
    found = reading(text)
    assert told(found) == [f"conditionals are nested more than {limits.DEFINE_NESTING} deep"]
    assert [(s.key, s.activity.name) for s in found.settings] == [
        ("DEEP", "DISABLED"),
        ("LAST", "ACTIVE"),
    ]
    assert found.settings[0].condition == "it is nested too deep"


def test_doubts_nested_as_deep_as_allowed(reading: Read) -> None:
    deep = limits.DEFINE_NESTING
    text = "".join(f"#if U{n}\n#define A {n}\n" for n in range(deep)) + "#endif\n" * deep
    found = reading(text)
    assert found.problems == ()
    assert {s.activity.name for s in found.settings} == {"POSSIBLE"}


def test_one_name_under_a_thousand_doubts(reading: Read) -> None:
    doubts = "".join(f"#if U{n}\n#define A {n}\n#endif\n" for n in range(5000))
    found = reading(f"#define A\n{doubts}#if defined(A)\n#define B\n#endif\n#define LAST A")
    assert {s.activity.name for s in found.settings[:-1]} == {"POSSIBLE"}
    assert found.settings[0].condition == "!U4950 && !U4951 && !U4952 && ..."
    assert found.settings[-1].resolved is None


def test_certain_define_after_a_thousand_doubts_takes_their_place(reading: Read) -> None:
    doubts = "".join(f"#if U{n}\n#define A {n}\n#endif\n" for n in range(1000))
    found = reading(f"{doubts}#define A 7\n")
    assert {s.activity.name for s in found.settings[:-1]} == {"DISABLED"}
    assert (found.settings[-1].activity.name, found.settings[-1].resolved) == ("ACTIVE", "7")


def test_brackets_nested_without_end(reading: Read) -> None:
    found = reading("#if " + "(" * 900 + "1" + ")" * 900 + "\n#define A 1\n#endif\n#define B 2")
    assert found.problems == ()
    assert [s.activity.name for s in found.settings] == ["ACTIVE", "ACTIVE"]


def test_condition_of_a_giant_line(reading: Read) -> None:
    found = reading("#if 1" + " + 1" * 50_000 + "\n#define A 1\n#endif\n#define B 2")
    assert told(found) == [
        f"this condition has more than {limits.DEFINE_EXPRESSION_CHARS} characters"
    ]
    assert [s.activity.name for s in found.settings] == ["POSSIBLE", "ACTIVE"]


def test_value_of_a_giant_line(reading: Read) -> None:
    found = reading("#define A 1" + " + 1" * 50_000 + "\n#define B 2")
    assert found.settings[0].resolved is None
    assert found.settings[0].unknown.startswith("the value has more than")
    assert found.settings[1].resolved == "2"


@pytest.mark.parametrize(
    "text",
    [
        "/*" * 300_000,
        "/*\n" * 200_000,
        "#/*\n" * 100_000,
        '"' * 300_000,
        "#define A " + "'\"" * 150_000,
        "\\\n" * 200_000,
        "// \\\n" * 100_000,
        "//#define A \\\n" * 50_000,
        "#" * 300_000,
        " " * 500_000,
        "/" * 500_000,
        "*" * 500_000 + "/*" + "*" * 500_000,
        "#define A(" + "(" * 200_000,
        "#if " + "!" * 200_000,
        "#define" + " " * 300_000,
        "#include " + '"' * 200_000,
    ],
    ids=lambda text: text[:12],
)
def test_no_pattern_makes_the_reader_slow(reading: Read, text: str) -> None:
    """Each takes well under a second; a pattern that looks back would take hours."""
    found = reading(text + "\n#define LAST 1\n")
    assert found.style == "define"


def test_more_settings_than_any_machine_has(reading: Read, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(limits, "DEFINE_LINES", 10)
    found = reading(a__h="#define A\n" * 8, b__h="#define B\n" * 8)
    assert len(found.settings) == 10
    assert [str(p) for p in found.problems] == [
        "b.h:3:1: the files hold more than 10 directives, not read from here; "
        "expected the headers of one machine"
    ]


def test_includes_nested_without_end(reading: Read) -> None:
    files = {f"h{n}__h": f'#include "h{n + 1}.h"\n#define A{n}\n' for n in range(100)}
    found = reading(**files)
    assert told(found) == [
        f"headers include each other more than {limits.INCLUDE_DEPTH} deep",
        f"headers include each other more than {limits.INCLUDE_DEPTH} deep",
        f"headers include each other more than {limits.INCLUDE_DEPTH} deep",
    ]
    assert len(found.settings) == 100

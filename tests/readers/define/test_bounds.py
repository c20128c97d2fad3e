"""Hostile lines end in a plain problem, hostile headers in a refusal of the whole machine."""

from collections.abc import Callable

import pytest

from pincheck.model import limits
from pincheck.model.problem import UnreadableError
from pincheck.model.reading import Reading

Read = Callable[..., Reading]


def told(found: Reading) -> list[str]:
    """Return the messages without their places."""
    return [problem.message for problem in found.problems]


def refused(reading: Read, *texts: str, **files: str) -> str:
    """Return why headers are refused."""
    with pytest.raises(UnreadableError) as error:
        reading(*texts, **files)
    (problem,) = error.value.problems
    assert problem.fatal
    assert problem.expected == "the configuration of one machine"
    told = ", far beyond any machine: nothing was checked"
    assert problem.message.endswith(told)
    return f"{problem.span} {problem.message.removesuffix(told)}"


# 512 times 20 characters are too many for one value, 256 times for none
DOUBLING = [*(f"#define M{n} M{n + 1} M{n + 1}" for n in range(9)), f"#define M9 {'x' * 20}"]


def test_macros_that_double_each_other_are_cut_short(reading: Read) -> None:
    found = reading("\n".join([*DOUBLING, "#define LAST 7"]))
    most = limits.DEFINE_EXPANSION
    assert told(found)[0].startswith(f"its macros come to more than {most} characters")
    assert (found.settings[0].resolved, found.settings[-1].resolved) == (None, "7")
    assert found.settings[0].unknown == f"its macros come to more than {most} characters"


def test_macros_that_double_each_other_in_a_condition(reading: Read) -> None:
    found = reading("\n".join([*DOUBLING, "#if M0", "#define A", "#endif"]))
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
    text = "\n".join([*bomb, "#define M9 xxxxxxxxxx", *many, "#define LAST (1+1)"])
    most = "macros that come to more than 50,000 characters in all"
    assert refused(reading, text).endswith(most)


def test_macros_that_all_double(reading: Read) -> None:
    """Each of the first fifty comes to too much, which a whole machine is not worth."""
    lines = [f"#define M{n} M{n + 1} M{n + 1}" for n in range(60)]
    most = "macros that come to more than 50,000 characters in all"
    assert refused(reading, "\n".join([*lines, "#define M60 x"])) == f"machine.h:7:1 {most}"


def test_many_conditions_that_are_each_within_bounds(reading: Read) -> None:
    text = "".join(f"#if {' + '.join(['A'] * 100)} == {n}\n#endif\n" for n in range(500))
    most = "conditions and values to compute of more than 35,000 characters"
    # "0 + 0 ... == 10" has 403 characters, and 86 of them fit
    assert refused(reading, text) == f"machine.h:173:1 {most}"


def test_calls_inside_calls(reading: Read) -> None:
    found = reading("#define F(x) x\n#define A " + "F(" * 500 + "1" + ")" * 500)
    assert told(found) == [f"macros call each other more than {limits.DEFINE_CALL_DEPTH} deep"]


@pytest.mark.parametrize("value", ["ENABLED(A)", "ENABLED(B) ENABLED(B)"])
def test_calls_that_ask_for_themselves_come_to_an_end(reading: Read, value: str) -> None:
    found = reading(f"#define A {value}\n#define B {value}\n#if ENABLED(A)\n#define C\n#endif")
    assert found.settings[-1].key == "C"


def test_conditionals_nested_without_end(reading: Read) -> None:
    deep = 4_000
    text = "#if 1\n" * deep + "#define DEEP\n" + "#else\n#endif\n" * deep + "#define LAST 1"
    assert refused(reading, text) == "machine.h:65:1 conditionals more than 64 deep"


def test_doubts_nested_as_deep_as_allowed(reading: Read) -> None:
    deep = limits.DEFINE_NESTING
    text = "".join(f"#if U{n}\n#define A {n}\n" for n in range(deep)) + "#endif\n" * deep
    found = reading(text)
    assert found.problems == ()
    assert {s.activity.name for s in found.settings} == {"POSSIBLE"}


def test_one_name_under_a_thousand_doubts(reading: Read) -> None:
    doubts = "".join(f"#if U{n}\n#define A {n}\n#endif\n" for n in range(1100))
    found = reading(f"#define A\n{doubts}#if defined(A)\n#define B\n#endif\n#define LAST A")
    assert {s.activity.name for s in found.settings[:-1]} == {"POSSIBLE"}
    assert found.settings[0].condition == "!U1084 && !U1085 && !U1086 && ..."
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
        "#/*\n" * 14_000,
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
    files = {"a__h": "#define A\n" * 8, "b__h": "#define B\n" * 8}
    assert refused(reading, **files) == "b.h:3:1 more than 10 directives"


def test_includes_nested_without_end(reading: Read) -> None:
    files = {f"h{n}__h": f'#include "h{n + 1}.h"\n#define A{n}\n' for n in range(100)}
    most = "headers that include each other more than 32 deep"
    assert refused(reading, **files) == f"h32.h:1:1 {most}"

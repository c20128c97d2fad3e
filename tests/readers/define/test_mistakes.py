"""Each mistake in its own words, at its place, once, and no line after it lost."""

from collections.abc import Callable

import pytest

from pincheck.model.reading import Reading
from pincheck.model.setting import Activity

Read = Callable[..., Reading]


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ("#if", "2:1: this asks nothing; expected a condition such as ENABLED(BLTOUCH)"),
        ("#if (N > 1", "2:11: a bracket is never closed; expected )"),
        ("#if N > 1)", "2:10: this bracket closes nothing; expected ( further left, or no ) here"),
        ("#if N >", "2:8: this ends too early; expected a name or a number"),
        ("#if && N", "2:5: '&&' follows nothing; expected a name or a number before it"),
        ("#if N && || N", "2:10: '||' follows nothing; expected a name or a number before it"),
        (
            "#if N = 1",
            "2:7: a single = compares nothing; expected == to compare; did you mean '=='?",
        ),
        (
            "#if N N",
            "2:7: 'N' cannot follow what stands before it; "
            "expected an operator such as && or == before it",
        ),
        ("#if N @ 1", "2:7: '@' has no place here; expected names, numbers, && || ! == < > ( )"),
        ("#if /* é */ N \\\n  = 1", "3:3: a single = compares nothing; "
            "expected == to compare; did you mean '=='?"),
        ('#if N == "x', '2:10: the text in quotes is never closed; expected " at its end'),
        ('#if N == "x"', "2:5: this condition cannot be computed: "
            '"x" is no number to compute with; expected whole numbers'),
        ("#if N / 0", "2:5: this condition cannot be computed: divides by zero; "
            "expected whole numbers"),
        ("#if N > 1.5", "2:9: 1.5 in a condition has a fraction; "
            "expected whole numbers only, as the firmware's compiler does"),
        ("#if N ? 1", "2:10: a ? is never answered in full; expected : and a second answer"),
        ("#if ENABLED(N || N)", "2:5: ENABLED( ) takes names of settings, not 'N || N'"),
        ("#if ENABLED()", "2:5: ENABLED( ) takes names of settings, and one is missing"),
        ("#if ENABLED(N", "2:14: a bracket is never closed; expected )"),
        ("#define FLAG\n#if FLAG", "3:5: FLAG is defined without a value, so this asks nothing; "
            "expected #ifdef FLAG or ENABLED(FLAG)"),
        ("#define FLAG\n#if FLAG > 2", "3:5: with its macros replaced this reads '> 2': "
            "'>' follows nothing; expected a name or a number before it"),
        ("#define F(a) a\n#if F(1, 2)", "3:5: F( ) takes 1 values, 2 are given"),
        ("#ifdef", "2:1: #ifdef asks for no name; expected the name of a setting"),
        ("#ifdef N && M", "2:1: #ifdef looks at one name only, so '&& M' does not count; "
            "expected #if defined(N) && M"),
        ("#if 0\n#elif N =", "3:9: a single = compares nothing; "
            "expected == to compare; did you mean '=='?"),
    ],
)  # fmt: skip
def test_mistake_in_a_condition(reading: Read, lines: str, told: str) -> None:
    found = reading(f"#define N 3\n{lines}\n#define A 1\n#endif\n#define LAST 1\n")
    assert [str(p) for p in found.problems] == [f"machine.h:{told}"]
    assert found.settings[-1].activity is Activity.ACTIVE
    (problem,) = found.problems
    assert problem.span is not None
    assert problem.text == found.sources[0].line(problem.span.line)
    inner = next(s for s in found.settings if s.key == "A")
    assert inner.activity is (Activity.ACTIVE if "ifdef N &" in lines else Activity.POSSIBLE)


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ("#endif", "1:1: #endif closes no #if; expected an #if further up"),
        ("#else", "1:1: #else belongs to no #if; expected an #if further up"),
        ("#elif 1", "1:1: #elif belongs to no #if; expected an #if further up"),
        ("#if 1\n#else\n#else\n#endif", "3:1: #else comes after the #else of the #if in line 1; "
            "expected #endif"),
        ("#if 1\n#else\n#elif 1\n#endif", "3:1: #elif comes after the #else of the #if in line 1; "
            "expected #endif"),
        ("#define", "1:1: this #define gives no name; expected a name that begins with a letter"),
        ("#define 5X 1", "1:1: this #define gives '5X', which is no name; "
            "expected a name that begins with a letter"),
        ("#define FAN-PIN 1", "1:12: the name FAN ends at '-': what follows counts as its value; "
            "expected a name of letters, digits and _ only"),
        ("#define F(a b", "1:10: the bracket after the name is never closed; expected )"),
        ("#define F(1) 2", "1:10: (1) are no parameters of a macro; expected names with commas"),
        ('#define N "Heron', '1:11: the text in quotes is never closed; expected " at its end'),
        ("#undef", "1:1: #undef gives no name; expected the name of a setting"),
        ("#include", '1:1: #include names no file; expected a name in quotes, as in "pins.h"'),
        ("#error Don't", "1:1: the configuration itself refuses to be built: Don't"),
        ("#defin X 5", "1:1: #defin is no directive; did you mean '#define'?"),
        ("#Heading of a page", "1:1: this # begins no directive; "
            "expected // in front if it is a comment"),
    ],
)  # fmt: skip
def test_mistake_in_another_line(reading: Read, lines: str, told: str) -> None:
    found = reading(f"{lines}\n#define LAST 1\n")
    assert [str(p) for p in found.problems] == [f"machine.h:{told}"]
    assert found.settings[-1].activity is Activity.ACTIVE


def test_conditional_never_closed_is_told_at_its_first_line(reading: Read) -> None:
    found = reading("#define A 1\n  #ifdef A\n#define B 1\n#if 1\n#endif\n")
    assert [str(p) for p in found.problems] == [
        "machine.h:2:3: this #ifdef is never closed; expected #endif"
    ]


@pytest.mark.parametrize("condition", ["0", "UNHEARD"])
def test_error_in_a_branch_that_may_not_be_taken_is_none(reading: Read, condition: str) -> None:
    assert reading(f"#if {condition}\n#error Don't\n#endif").problems == ()


def test_mistakes_in_an_untaken_branch_do_not_count(reading: Read) -> None:
    assert reading("#if 0\n#if (\n#endif\n#define\n#nonsense\n#undef\n#endif").problems == ()


def test_every_mistake_of_a_file_is_told_in_its_order(reading: Read) -> None:
    found = reading("#define A F(1\n#if (\n#endif\n#define\n#if A\n#else\n#endif\n#endif\n#bogus\n")
    assert [p.span.line for p in found.problems if p.span] == [2, 4, 5, 8, 9]


def test_prose_is_told_once_for_its_lines(reading: Read) -> None:
    found = reading("# One\n# Two\n# Three\n#define LAST 1")
    assert [str(p) for p in found.problems] == [
        "machine.h:1:1: this # begins no directive (this line and 2 more); "
        "expected // in front if it is a comment"
    ]
    assert found.settings[-1].key == "LAST"


def test_both_sides_of_a_merge_conflict_are_only_possible(reading: Read) -> None:
    """The marks are named once, the lines between them decide nothing, the rest is read."""
    text = (
        "#define BEFORE 1\n<<<<<<< mine\n#define HEATER_0_MAXTEMP 260\n=======\n"
        "#define HEATER_0_MAXTEMP 300\n>>>>>>> theirs\n#define AFTER 2\n"
    )
    found = reading(text)
    settings = [(s.key, s.value, s.activity.value) for s in found.settings]
    assert settings == [
        ("BEFORE", "1", "active"),
        ("HEATER_0_MAXTEMP", "260", "possible"),
        ("HEATER_0_MAXTEMP", "300", "possible"),
        ("AFTER", "2", "active"),
    ]
    (problem,) = found.problems
    assert problem.span is not None
    assert (problem.span.line, problem.span.column) == (2, 1)
    assert "merge" in problem.message


@pytest.mark.parametrize("line", ["define FAN_PIN 3", "  define FAN_PIN", "undef FAN_PIN // no"])
def test_a_lost_hash_is_told(reading: Read, line: str) -> None:
    """The line sets nothing, and looks to its owner as if it did."""
    found = reading(f"#define A 1\n{line}\n")
    word = line.split()[0]
    column = line.index(word) + 1
    assert [str(p) for p in found.problems] == [
        f"machine.h:2:{column}: the # in front of {word!r} is missing, so FAN_PIN is not set; "
        f"expected #{word} FAN_PIN"
    ]


@pytest.mark.parametrize(
    "line",
    [
        "  define the pins of your board",
        "// define FAN_PIN 3",
        "/* define FAN_PIN 3 */",
        "  { define, FAN_PIN },",
        "defined FAN_PIN",
        "A text: define FAN_PIN here",
        "define FAN_PIN, then build",
        "Define FAN_PIN first",
    ],
)
def test_words_that_only_speak_of_a_define(reading: Read, line: str) -> None:
    """Prose, comments and lines of an array stay as quiet as before."""
    assert reading(f"#define A 1\n{line}\n").problems == ()


def test_a_lost_hash_where_nothing_is_compiled(reading: Read) -> None:
    """A branch that is not taken sets nothing anyway."""
    assert reading("#if 0\ndefine FAN_PIN 3\n#endif\n").problems == ()

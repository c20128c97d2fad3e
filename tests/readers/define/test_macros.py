"""What values come to once their macros are replaced, as a C preprocessor replaces them."""

from collections.abc import Callable

import pytest

from pincheck.model.reading import Reading

Read = Callable[..., Reading]
One = Callable[[str], tuple[str, str | None]]


@pytest.mark.parametrize(
    ("lines", "resolved"),
    [
        ("#define A B\n#define B C\n#define C 5", "5"),
        ("#define A FAN1_PIN\n#define FAN1_PIN PB6", "PB6"),
        ("#define A FAN1_PIN", "FAN1_PIN"),
        ("#define A FAN1_PIN\n//#define FAN1_PIN PB6", "FAN1_PIN"),
        ("#define A B\n#define B", ""),
        ("#define A A", "A"),
        ("#define A B\n#define B A", "A"),
        ("#define A (B * 2)\n#define B 1 + 1", "3"),
        ("#define A (B * 2)\n#define B (1 + 1)", "4"),
        ("#define A B/2\n#define B 7.0", "3.5"),
        ("#define A (B)\n#define B true", "1"),
        ("#define A !B\n#define B true", "0"),
        ("#define A (B > 3)\n#define B 5", "1"),
        ("#define A { B, 2*B }\n#define B 5", "{ 5, 10 }"),
        ('#define A B " x"\n#define B "B"', '"B" " x"'),
        ('#define A "B"\n#define B 5', '"B"'),
        ("#define A SUM(1, 2)\n#define SUM(a, b) ((a) + (b))", "3"),
        ("#define A SUM (1, (2, 3))\n#define SUM(a, b) a + b", "1 + (2, 3)"),
        ("#define A F\n#define F(x) x", "F"),
        ("#define A F()\n#define F() 7", "7"),
        ("#define A F(F(F(2)))\n#define F(x) x*x", "256"),
        ("#define A CAT(P, B6)\n#define CAT(a, b) a##b", "PB6"),
        ("#define A CAT(X, 1)\n#define CAT(a, b) a ## b\n#define X1 9", "9"),
        ("#define A CAT(, 1)\n#define CAT(a, b) a##b", "1"),
        ("#define A TEXT(a  b \"c\")\n#define TEXT(x) #x", '"a b \\"c\\""'),
        ("#define A TEXT(B)\n#define B 5\n#define TEXT(x) QUOTE(x)\n#define QUOTE(x) #x", '"5"'),
        ("#define A LAST(1, 2, 3)\n#define LAST(a, ...) { __VA_ARGS__ }", "{ 2,3 }"),
        ("#define A LIST(1, 2)\n#define LIST(rest...) { rest }", "{ 1,2 }"),
        ("#define A OPT(1)\n#define OPT(a, ...) { a, ## __VA_ARGS__ }", "{ 1 }"),
        ("#define A OPT(1, 2)\n#define OPT(a, ...) { a __VA_OPT__(,) __VA_ARGS__ }", "{ 1 , 2 }"),
        ("#define A CALL(SUM)\n#define CALL(f) f(1, 2)\n#define SUM(a, b) (a + b)", "3"),
        ("#define A 1 ? 2 : 3", "2"),
        ("#define A 10 % 4 + (1 << 4)", "18"),
        ("#define A 0.1 + 0.2", "0.3"),
        ("#define A 100 * 1.0", "100"),
    ],
)  # fmt: skip
def test_value_comes_to(reading: Read, lines: str, resolved: str) -> None:
    found = reading(lines)
    assert (found.settings[0].resolved, found.settings[0].unknown) == (resolved, "")
    assert found.problems == ()


@pytest.mark.parametrize(
    ("lines", "reason"),
    [
        ("#define A (B + 1)", "B is not defined in the headers sent"),
        ("#define A B * C", "B, C are not defined in the headers sent"),
        ("#define A MIN(1, 2)", "MIN( ) is not defined in the headers sent"),
        ("#define A -PB6", "PB6 is not defined in the headers sent"),
        ("#define A 1/0", "divides by zero"),
        ("#define A 1.5 % 2", "% needs whole numbers"),
        ("#define A 1e300 * 1e300", "comes to more than any number holds"),
        ("#define A (1 + 2", "a bracket is never closed"),
        ("#define A F(1)\n#define F(a, b) a", "F( ) takes 2 values, 1 are given"),
        ("#define A F(1\n#define F(a) a", "the bracket of F( is never closed"),
        ("#define A B\n#if X\n#define B 1\n#endif", "B is defined only under a condition"),
        ("#define A ENABLED(B)", "ENABLED(B) cannot be decided"),
        ("#define A ENABLED(1+1)", "ENABLED( ) takes names of settings, not '1+1'"),
    ],
)
def test_value_that_nobody_knows_says_why(reading: Read, lines: str, reason: str) -> None:
    found = reading(lines)
    assert (found.settings[0].resolved, found.settings[0].unknown) == (None, reason)
    assert found.problems == ()


def test_value_of_a_possible_define_takes_its_branch_for_granted(reading: Read) -> None:
    found = reading("#if X\n#define A B\n#define B 1\n#else\n#define B 2\n#endif")
    assert found.settings[0].resolved == "1"


def test_value_that_is_not_in_force_comes_to_nothing(reading: Read) -> None:
    found = reading("#define N 4\n//#define A N*2\n#if 0\n#define B N*3\n#endif")
    assert [s.resolved for s in found.settings] == ["4", None, None]


def test_own_condition_calls_of_the_headers_are_used(one: One) -> None:
    text = "#define BOARD_IS(b) (BOARD == b)\n#define BOARD 3\n#if BOARD_IS(3)\n#define A 1\n#endif"
    assert one(text) == ("ACTIVE", "1")

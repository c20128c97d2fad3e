"""Which branch is taken, and what is said where nobody can know."""

from collections.abc import Callable

import pytest

from pincheck.model.reading import Reading
from pincheck.model.setting import Activity

Read = Callable[..., Reading]
One = Callable[[str], tuple[str, str | None]]

KNOWN = """\
#define FLAG
#define YES true
#define NO false
#define ZERO 0
#define MINUS -1
#define FIVE 5
#define CHAIN FIVE
//#define SLEEPER 7
#define TEMP_0_PIN 13
#define FAN_PIN -1
#define BED_PIN PB6
#define OUT_PIN HIDDEN_PIN
#define SUM(a, b) a + b
"""


@pytest.mark.parametrize(
    "condition",
    [
        "1",
        "FIVE",
        "FIVE == 5",
        "CHAIN > 4 && CHAIN < 6",
        "FIVE != 4",
        "!ZERO",
        "!(ZERO || NO)",
        "YES",
        "YES && !NO",
        "YES == true",
        "defined(FLAG)",
        "defined FLAG",
        "defined ( FLAG ) && !defined(SLEEPER)",
        "ENABLED(FLAG)",
        "ENABLED(YES)",
        "ENABLED( FLAG , YES )",
        "DISABLED(NO)",
        "DISABLED(ZERO)",
        "DISABLED(MINUS)",
        "DISABLED(FIVE)",
        "DISABLED(SLEEPER)",
        "!ENABLED(SLEEPER)",
        "ANY(SLEEPER, NO, FLAG)",
        "EITHER(NO, FLAG)",
        "BOTH(YES, FLAG)",
        "ALL(YES, FLAG, YES)",
        "NONE(NO, ZERO, SLEEPER)",
        "PIN_EXISTS(TEMP_0)",
        "PIN_EXISTS(BED)",
        "!PIN_EXISTS(FAN)",
        "SLEEPER == 0",
        "0x10 == 16 && 010 == 8 && 0b11 == 3",
        "'A' == 65",
        "10U > 9L",
        "-1 > 0U",
        "1 + 2 * 3 == 7",
        "SUM(1, 2) * 2 == 5",
        "7 / 2 == 3 && -7 / 2 == -3 && -7 % 3 == -1",
        "(1 << 3 | 2) == 10 && (6 & 3) == 2 && (6 ^ 3) == 5",
        "~0 == -1",
        "FIVE ? 1 : 0",
        "ZERO ? 0 : FIVE",
        "UNHEARD || 1",
        "UNHEARD == UNHEARD",
        "0 || FIVE // note",
        "FIVE /* note */ == 5",
        "FIVE == \\\n 5",
        "!ZERO && (1 || HAS_DRIVER(TMC2209))",
    ],
)
def test_condition_that_holds(reading: Read, condition: str) -> None:
    found = reading(f"{KNOWN}#if {condition}\n#define A 1\n#else\n#define A 2\n#endif\n")
    assert [s.activity.name for s in found.settings if s.key == "A"] == ["ACTIVE", "DISABLED"]
    assert found.problems == ()


@pytest.mark.parametrize(
    "condition",
    [
        "UNHEARD",
        "!UNHEARD",
        "UNHEARD && 1",
        "UNHEARD || 0",
        "UNHEARD == OTHER",
        "UNHEARD > 3",
        "defined(UNHEARD)",
        "defined UNHEARD && 1",
        "ENABLED(UNHEARD)",
        "DISABLED(UNHEARD)",
        "ANY(NO, UNHEARD)",
        "BOTH(YES, UNHEARD)",
        "NONE(NO, UNHEARD)",
        "PIN_EXISTS(UNHEARD)",
        "PIN_EXISTS(OUT)",
        "HAS_DRIVER(TMC2209)",
        "AXIS_IS_TMC(E0) && FIVE == 5",
        "MOTHERBOARD == BOARD_HERON_2",
    ],
)
def test_condition_that_nobody_can_decide(reading: Read, condition: str) -> None:
    found = reading(f"{KNOWN}#if {condition}\n#define A 1\n#else\n#define A 2\n#endif\n")
    first, second = (s for s in found.settings if s.key == "A")
    assert (first.activity, first.condition) == (Activity.POSSIBLE, condition)
    assert second.activity is Activity.POSSIBLE
    assert second.condition in (f"!{condition}", f"!({condition})", condition[1:])
    assert found.problems == ()


@pytest.mark.parametrize(
    "condition",
    [
        "UNHEARD && 0",
        "!(UNHEARD || 1)",
        "UNHEARD != UNHEARD",
        "ANY(NO, SLEEPER)",
        "BOTH(NO, UNHEARD)",
        "ENABLED(FIVE)",
        "ENABLED(SUM)",
        "SLEEPER",
        "0 && 1 / 0",
    ],
)
def test_condition_that_does_not_hold(one: One, condition: str) -> None:
    assert one(f"{KNOWN}#if {condition}\n#define A 1\n#endif\n") == ("DISABLED", None)


def test_same_name_on_both_sides_decides_a_board_choice(one: One) -> None:
    text = (
        "#define MOTHERBOARD BOARD_HERON_2\n#if MOTHERBOARD == BOARD_HERON_2\n#define A 1\n#endif"
    )
    assert one(text) == ("ACTIVE", "1")


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ("#ifdef FLAG\n#define A 1\n#endif", "ACTIVE"),
        ("#ifndef FLAG\n#define A 1\n#endif", "DISABLED"),
        ("#ifdef SLEEPER\n#define A 1\n#endif", "DISABLED"),
        ("#ifndef SLEEPER\n#define A 1\n#endif", "ACTIVE"),
        ("#ifdef UNHEARD\n#define A 1\n#endif", "POSSIBLE"),
        ("#ifndef A\n#define A 1\n#endif", "ACTIVE"),
        ("#if 0\n#elif FIVE\n#define A 1\n#endif", "ACTIVE"),
        ("#if 0\n#elifdef FLAG\n#define A 1\n#endif", "ACTIVE"),
        ("#if 0\n#elifndef FLAG\n#define A 1\n#endif", "DISABLED"),
        ("#if FIVE\n#elif 1\n#define A 1\n#endif", "DISABLED"),
        ("#if FIVE\n#elif what ( is this\n#else\n#define A 1\n#endif", "DISABLED"),
        ("#if UNHEARD\n#elif 1\n#define A 1\n#endif", "POSSIBLE"),
        ("#if UNHEARD\n#elif 1\n#else\n#define A 1\n#endif", "DISABLED"),
        ("#if UNHEARD\n#if 0\n#define A 1\n#endif\n#endif", "DISABLED"),
        ("#if 0\n#if 1\n#else\n#define A 1\n#endif\n#else\n#endif", "DISABLED"),
        ("#if 1\n#if 1\n#if 1\n#if 1\n#if 1\n#define A 1" + "\n#endif" * 5, "ACTIVE"),
        ("  # if 1 // x\n\t#define A 1\n # endif /* y */", "ACTIVE"),
    ],
)
def test_every_kind_of_conditional(reading: Read, lines: str, expected: str) -> None:
    found = reading(KNOWN + lines)
    assert [s.activity.name for s in found.settings if s.key == "A"] == [expected]
    assert found.problems == ()


def test_nested_doubt_names_every_condition(reading: Read) -> None:
    found = reading(
        "#if ENABLED(BOARD) || LATE\n#ifdef EXTRA\n#define A 1\n#else\n#define B 1\n#endif\n#endif"
    )
    assert [s.condition for s in found.settings] == [
        "(ENABLED(BOARD) || LATE) && defined(EXTRA)",
        "(ENABLED(BOARD) || LATE) && !defined(EXTRA)",
    ]


def test_untaken_branch_names_what_keeps_it_out(reading: Read) -> None:
    found = reading("#define N 2\n#if N > 3\n#define A 1\n//#define B\n#else\n#define A 2\n#endif")
    assert [(s.key, s.activity.value, s.condition) for s in found.settings[1:]] == [
        ("A", "disabled", "N > 3"),
        ("B", "commented out", "N > 3"),
        ("A", "active", ""),
    ]


def test_decoy_in_an_untaken_branch_is_not_the_value(reading: Read) -> None:
    found = reading(
        "#define TEMP_SENSOR_0 1\n#if TEMP_SENSOR_0 == 5\n#define TEMP_SENSOR_BED 11\n"
        "#else\n#define TEMP_SENSOR_BED 1\n#endif\n"
    )
    active = {s.key: s.resolved for s in found.settings if s.activity is Activity.ACTIVE}
    assert active == {"TEMP_SENSOR_0": "1", "TEMP_SENSOR_BED": "1"}


def test_later_define_takes_the_place_of_an_earlier_one(reading: Read) -> None:
    found = reading("#define A 1\n#define A 2\n#define B A\n")
    first, second, third = found.settings
    assert (first.activity, second.activity) == (Activity.DISABLED, Activity.ACTIVE)
    assert found.overridden == ((first, second),)
    assert third.resolved == "2"


def test_define_of_a_doubtful_branch_is_replaced_without_a_word(reading: Read) -> None:
    """It may never have stood, so nobody set the same thing twice."""
    found = reading("#if UNHEARD\n#define A 1\n#endif\n#define A 2\n")
    assert [s.activity for s in found.settings] == [Activity.DISABLED, Activity.ACTIVE]
    assert found.overridden == ()


def test_undef_takes_a_define_away(reading: Read) -> None:
    found = reading("#define A 1\n#undef A\n#ifdef A\n#define B 1\n#endif\n")
    assert [s.activity for s in found.settings] == [Activity.DISABLED, Activity.DISABLED]
    assert found.overridden == ()


def test_define_that_a_doubtful_branch_may_replace_is_itself_doubtful(reading: Read) -> None:
    found = reading("#define A 1\n#if UNHEARD\n#undef A\n#define A 2\n#endif\n#define B A\n")
    first, second, third = found.settings
    assert (first.activity, first.condition) == (Activity.POSSIBLE, "!UNHEARD")
    assert (second.activity, second.condition) == (Activity.POSSIBLE, "UNHEARD")
    assert (third.resolved, third.unknown) == (None, "A is defined only under a condition")


def test_redefinition_within_one_doubtful_branch_is_certain_there(reading: Read) -> None:
    found = reading("#if UNHEARD\n#define A 1\n#undef A\n#define A 2\n#define B A\n#endif\n")
    assert [s.activity.name for s in found.settings] == ["DISABLED", "POSSIBLE", "POSSIBLE"]
    assert found.settings[2].resolved == "2"


def test_sibling_branches_do_not_see_each_other(reading: Read) -> None:
    found = reading(
        "#if UNHEARD\n#define A 1\n#elif defined(A)\n#define B 1\n#else\n#define A 2\n"
        "#define C A\n#endif\n#if A\n#define D 1\n#endif"
    )
    states = {(s.key, s.value): (s.activity.name, s.resolved) for s in found.settings}
    assert states["B", "1"] == ("DISABLED", None)
    assert states["C", "A"] == ("POSSIBLE", "2")
    assert states["D", "1"] == ("POSSIBLE", "1")
    assert states["A", "1"][0] == states["A", "2"][0] == "POSSIBLE"


def test_conditions_see_the_table_of_their_line_and_values_the_last_one(reading: Read) -> None:
    found = reading(
        "#define A B\n#if A == 1\n#define EARLY\n#endif\n#define B 1\n"
        "#if A == 1\n#define LATE\n#endif"
    )
    states = {s.key: (s.activity.name, s.resolved) for s in found.settings}
    assert states == {
        "A": ("ACTIVE", "1"),
        "EARLY": ("DISABLED", None),
        "B": ("ACTIVE", "1"),
        "LATE": ("ACTIVE", ""),
    }  # fmt: skip


def test_condition_call_as_a_value(one: One) -> None:
    assert one("#define X\n#define A ENABLED(X)") == ("ACTIVE", "1")
    assert one("#define X\n#define A DISABLED(X)") == ("ACTIVE", "0")
    assert one("#define A ENABLED(UNHEARD)") == ("ACTIVE", None)


def test_include_guard_is_taken(reading: Read) -> None:
    found = reading("#ifndef MACHINE_H\n#define MACHINE_H\n#define A 1\n#endif\n")
    assert [s.activity for s in found.settings] == [Activity.ACTIVE] * 2


def test_name_shown_switched_off_inside_a_comment_block_is_off(one: One) -> None:
    assert one("/*\n#define X\n*/\n#if ENABLED(X)\n#define A 1\n#endif") == ("DISABLED", None)


ALIKE = [
    ("#if U\n#define A 1\n#else\n#define A 1\n#endif\n", ["DISABLED", "ACTIVE"]),
    ("#if U\n#define A 1\n#else\n#define A 2\n#endif\n", ["POSSIBLE", "POSSIBLE"]),
    ("#if U\n#define A 1\n#elif V\n#define A 1\n#endif\n", ["POSSIBLE", "POSSIBLE"]),
    (
        "#if U\n#define A 1\n#elif V\n#define A 1\n#else\n#error no\n#endif\n",
        ["DISABLED", "ACTIVE"],
    ),
    (
        "#if U\n#define A 1\n#elif 0\n#define A 2\n#else\n#define A 1\n#endif\n",
        ["DISABLED", "DISABLED", "ACTIVE"],
    ),
    ("#if U\n#define A 1\n#endif\n#ifndef A\n#define A 1\n#endif\n", ["DISABLED", "ACTIVE"]),
    ("#if U\n#define A 2\n#endif\n#ifndef A\n#define A 1\n#endif\n", ["POSSIBLE", "POSSIBLE"]),
    ("#define A 1\n#if U\n#undef A\n#define A 1\n#endif\n", ["DISABLED", "ACTIVE"]),
    ("#define A 1\n#if U\n#undef A\n#endif\n", ["POSSIBLE"]),
    ("#define B 1\n#if U\n#define A B\n#else\n#define A 1\n#endif\n", ["DISABLED", "ACTIVE"]),
    (
        "#if U\n#if V\n#define A 1\n#else\n#define A 1\n#endif\n#else\n#define A 1\n#endif\n",
        ["DISABLED", "DISABLED", "ACTIVE"],
    ),
    ("#if U\n#if V\n#define A 1\n#endif\n#else\n#define A 1\n#endif\n", ["POSSIBLE", "POSSIBLE"]),
]


@pytest.mark.parametrize(("text", "activities"), ALIKE)
def test_what_every_branch_that_can_be_built_sets_alike_is_certain(
    reading: Callable[..., Reading], text: str, activities: list[str]
) -> None:
    """Nobody knows which branch is taken, and nobody needs to; one that sets it otherwise, or
    not at all, leaves it open."""
    found = [s for s in reading(text).settings if s.key == "A"]
    assert [s.activity.name for s in found] == activities
    assert {s.resolved for s in found if s.activity is Activity.ACTIVE} <= {"1"}

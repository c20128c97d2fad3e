"""Every form of a line that configuration headers hold, in all its spellings, with its place."""

from collections.abc import Callable

import pytest

from pincheck.model.reading import Reading
from pincheck.model.setting import Activity, Setting

Read = Callable[..., Reading]


def parts(setting: Setting) -> tuple[str, str, str]:
    """Return what the three spans of a setting cover."""
    text = setting.source.text
    return (
        text[setting.start : setting.end],
        text[setting.key_start : setting.key_end],
        text[setting.value_start : setting.value_end],
    )


@pytest.mark.parametrize(
    ("line", "whole", "value", "resolved"),
    [
        ("#define A 5", "#define A 5", "5", "5"),
        ("#define A", "#define A", "", ""),
        ("#define A   // flag", "#define A", "", ""),
        ("#define A 5 // note", "#define A 5", "5", "5"),
        ("#define A 62//A8", "#define A 62", "62", "62"),
        ("#define A//note", "#define A", "", ""),
        ("#define A 5 /* a */ // b", "#define A 5", "5", "5"),
        ("#define A /* a */ 5 /* b\n c */", "#define A /* a */ 5", "5", "5"),
        ("#define A 5 /* a */ * 2", "#define A 5 /* a */ * 2", "5 /* a */ * 2", "10"),
        ("  #define A 5  ", "#define A 5", "5", "5"),
        ("\t#\tdefine\tA\t5\t", "#\tdefine\tA\t5", "5", "5"),
        ("# define A 5", "# define A 5", "5", "5"),
        ("/* note */ #define A 5", "#define A 5", "5", "5"),
        ("/* note\n more */ #define A 5", "#define A 5", "5", "5"),
        ("#define\u00a0A\u00a05\u00a0// \u00e9", "#define\u00a0A\u00a05", "5", "5"),
        ("#define A \\\n  5", "#define A \\\n  5", "5", "5"),
        ("#define A 1 + \\\r\n  5", "#define A 1 + \\\r\n  5", "1 + \\\r\n  5", "6"),
        ("#def\\\nine A 5", "#def\\\nine A 5", "5", "5"),
        ("#define A 5 \\ \n + 1", "#define A 5 \\ \n + 1", "5 \\ \n + 1", "6"),
        ('#define A "x // y"', '#define A "x // y"', '"x // y"', '"x // y"'),
        ('#define A "x /* y" // "', '#define A "x /* y"', '"x /* y"', '"x /* y"'),
        ('#define A "a \\" b" // z', '#define A "a \\" b"', '"a \\" b"', '"a \\" b"'),
        ("#define A '/'", "#define A '/'", "'/'", "'/'"),
        ("#define A -1", "#define A -1", "-1", "-1"),
        ("#define A PA1", "#define A PA1", "PA1", "PA1"),
        ("#define A P1_23", "#define A P1_23", "P1_23", "P1_23"),
        ("#define A P0_24_A1", "#define A P0_24_A1", "P0_24_A1", "P0_24_A1"),
        ("#define A 0x1F", "#define A 0x1F", "0x1F", "31"),
        ("#define A 0b101", "#define A 0b101", "0b101", "5"),
        ("#define A 010", "#define A 010", "010", "8"),
        ("#define A 250U", "#define A 250U", "250U", "250"),
        ("#define A 115200UL", "#define A 115200UL", "115200UL", "115200"),
        ("#define A 22.20f", "#define A 22.20f", "22.20f", "22.2"),
        ("#define A 22.20", "#define A 22.20", "22.20", "22.20"),
        ("#define A .5", "#define A .5", ".5", "0.5"),
        ("#define A 1e3", "#define A 1e3", "1e3", "1000"),
        ("#define A 2.1.x", "#define A 2.1.x", "2.1.x", "2.1.x"),
        ("#define A true", "#define A true", "true", "true"),
        ("#define A (10 + 5)", "#define A (10 + 5)", "(10 + 5)", "15"),
        ("#define A 4*60", "#define A 4*60", "4*60", "240"),
        ("#define A 7/2", "#define A 7/2", "7/2", "3"),
        ("#define A 7/2.0", "#define A 7/2.0", "7/2.0", "3.5"),
        ("#define A (PB6)", "#define A (PB6)", "(PB6)", "PB6"),
        ("#define A { 80, 4 }", "#define A { 80, 4 }", "{ 80, 4 }", "{ 80, 4 }"),
        ("#define A { 50*60, 4 }", "#define A { 50*60, 4 }", "{ 50*60, 4 }", "{ 3000, 4 }"),
        ("#define A {{1,2},{3}}", "#define A {{1,2},{3}}", "{{1,2},{3}}", "{ { 1, 2 }, { 3 } }"),
        ("#define A { X, 'Y' }", "#define A { X, 'Y' }", "{ X, 'Y' }", "{ X, 89 }"),
        ('#define A "a" "b"', '#define A "a" "b"', '"a" "b"', '"a" "b"'),
        ("#define A do { x(); } while (0)", None, "do { x(); } while (0)", "do { x(); } while (0)"),
        ("#define A\u00e9 5\n#define A 6", "#define A 6", "6", "6"),
    ],
)  # fmt: skip
def test_active_define(
    reading: Read, line: str, whole: str | None, value: str, resolved: str
) -> None:
    found = reading(f"// first\n{line}\n#define LAST 1\n")
    setting = [s for s in found.settings if s.key == "A"][-1]
    assert found.problems == ()
    assert parts(setting) == (whole or line, "A", value)
    assert (setting.value, setting.resolved, setting.activity) == (value, resolved, Activity.ACTIVE)
    assert found.settings[-1].key == "LAST"


@pytest.mark.parametrize(
    ("line", "whole", "value"),
    [
        ("//#define A 5", "//#define A 5", "5"),
        ("// #define A 5 // note", "// #define A 5", "5"),
        ("  //  #define A", "//  #define A", ""),
        ("///#define A 5", "///#define A 5", "5"),
        ("//\t#\tdefine A 5", "//\t#\tdefine A 5", "5"),
        ("//#define A 5 /* a */", "//#define A 5", "5"),
        ('//#define A "x//y" // z', '//#define A "x//y"', '"x//y"'),
        ("//#define A 5 \\\n  + 6", "//#define A 5 \\\n  + 6", "5 \\\n  + 6"),
        ("//#define A(x) x", "//#define A(x) x", "x"),
        ("/* #define A 5 */", "/* #define A 5 */", "5"),
        ("/*#define A*/", "/*#define A*/", ""),
        ("//#define A don't", "//#define A don't", "don't"),
    ],
)
def test_commented_out_define(reading: Read, line: str, whole: str, value: str) -> None:
    found = reading(f"{line}\r\n#define LAST 1")
    assert parts(found.settings[0]) == (whole, "A", value)
    assert found.settings[0].activity is Activity.COMMENTED
    assert [s.key for s in found.settings] == ["A", "LAST"]
    assert found.problems == ()


@pytest.mark.parametrize(
    "line",
    [
        "// The name #define A 5 does nothing here",
        "// note \\\n#define A 5",
        "/* note\n#define A 5\n*/",
        'const char *x = "/*"; // #define A 5',
        "x #define A 5",
        "  { 1, 2, 3 },",
        "<html><body>Don't</body></html>",
        "#pragma once",
        "#warning Don't forget",
        "#",
        '# 12 "file.h"',
        "",
    ],
)
def test_line_that_defines_nothing_hides_nothing(reading: Read, line: str) -> None:
    found = reading(f"{line}\n#define LAST 1")
    assert [(s.key, s.activity) for s in found.settings] == [("LAST", Activity.ACTIVE)]
    assert found.problems == ()


def test_each_ending_keeps_exact_places(reading: Read) -> None:
    found = reading("#define A 1\r\n\r\n\t#define B 2 // x\r\n#define C\n//#define D 4")
    assert [str(s.span) for s in found.settings] == [
        "machine.h:1:1",
        "machine.h:3:2",
        "machine.h:4:1",
        "machine.h:5:1",
    ]
    assert [s.value for s in found.settings] == ["1", "2", "", "4"]
    assert found.settings[2].value_span.column == 10


def test_macro_with_parameters_has_no_value_of_its_own(reading: Read) -> None:
    setting = reading("#define A(x, y) ((x) + (y))").settings[0]
    assert (setting.key, setting.value, setting.resolved) == ("A", "((x) + (y))", None)
    assert setting.unknown == "A( ) has no value before it is used"


def test_comment_never_closed_is_told_and_hides_no_line(reading: Read) -> None:
    found = reading("#define A 1\n#define B 2 /* never\n#define C 3 /* nor this\n//#define D\n")
    assert [(s.key, s.value) for s in found.settings] == [
        ("A", "1"),
        ("B", "2"),
        ("C", "3"),
        ("D", ""),
    ]
    assert [str(p) for p in found.problems] == [
        "machine.h:2:13: this comment is never closed; expected */ where it ends"
    ]

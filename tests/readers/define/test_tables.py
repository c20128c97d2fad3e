"""The firmware's own tables of thermistors that come with the headers."""

import pytest

from pincheck.model.source import Source
from pincheck.readers.define import read

MAIN = "#define MOTHERBOARD BOARD_HERON_2\n#define TEMP_SENSOR_0 5\n#define TEMP_SENSOR_BED 60\n"


def table(text, name="thermistor/thermistor_5.h", **more):
    main = Source.of_text("machine.h", MAIN)
    files = [Source.of_text(name, text)]
    files += (Source.of_text(f"{folder}/thermistor_5.h", body) for folder, body in more.items())
    reading = read([main], [main], files)
    return reading.tables.get("5"), reading.problems


def of_entries(entries, before="const temp_entry_t"):
    return f"{before} temptable_5[] PROGMEM = {{\n{entries}\n}};\n"


@pytest.mark.parametrize(
    "entries",
    [
        "{ OV( 64), 300 }, { OV(512), 100 }, { OV(960), -15 }",
        "{ OV_SCALE(0x40), 300 }, // hot\n {OV(512),(100)}, /* { OV(1), 2 }, */ { OV(960), -15 },",
        "{64*OVERSAMPLENR,300},{OVERSAMPLENR * 8 * 64, 100},{(960U * OVERSAMPLENR), -0xF}",
        "{ OV(0100), 300 }, { OV(512.), 100 }, { OV(960), - 15 }, { OV(1000), -15 }",
    ],
)
def test_entries_in_every_way_of_writing(entries):
    """64, 512 and 960 of 1024 steps are a sixteenth, a half and fifteen sixteenths; 0100 is 64."""
    found, problems = table(of_entries(entries))
    assert not found.unknown
    assert not problems
    assert found.rows[:3] == ((1 / 16, 300), (1 / 2, 100), (15 / 16, -15))


@pytest.mark.parametrize(
    "before",
    [
        "#ifndef T_H\n#define T_H\n#include <x.h>\nstatic constexpr short",
        '/* ends */ extern const __attribute__((section(".rodata"))) temp_entry_t',
    ],
)
def test_what_stands_around_the_table_does_not_matter(before):
    text = of_entries("{ OV(64), 300 }, { OV(960), 0 }", before)
    text = text.replace("[]", "[][2]") + ("#endif\n" if "ifndef" in before else "")
    found, _ = table(text)
    assert found.rows == ((1 / 16, 300), (15 / 16, 0))
    assert found.span.line == text[: text.index("temptable")].count("\n") + 1


@pytest.mark.parametrize(
    ("comment", "ohm"),
    [
        ("// 100 k, 4.7 kOhm pull-up", 4700.0),
        ("// 4k7 pullup", 4700.0),
        ("/* pull-up resistor: 1000 ohm */", 1000.0),
        ("// 4.7k pullup, better with 1k pullup", None),
        ("// 5 pull-ups", None),
        ("// 100 k bead", None),
    ],
)
def test_a_pull_up_counts_where_the_comments_give_one(comment, ohm):
    found, _ = table(f"{comment}\n{of_entries('{ OV(64), 300 }, { OV(960), 0 }')}")
    assert found.pullup_ohm == ohm


@pytest.mark.parametrize(
    ("text", "place", "said"),
    [
        (of_entries("{ OV(64), 300 },\n{ OV(60), 200 }"), "3:2", "the firmware looks counts up"),
        (of_entries("{ OV(64), 300 },\n{ OV(70), 200 },\n{ OV(80), 210 }"), "4:10", "turn here"),
        (of_entries("{ OV(64), 300 }"), "1:20", "no two temperatures"),
        (of_entries(""), "1:20", "no two temperatures"),
        (of_entries(",\n".join(f"{{ OV({n / 5 + 1:.1f}), {-n} }}" for n in range(5000))),
         "257:2", "more than 255 entries"),
        (of_entries("{ OV(HOT), 300 }"), "2:2", "'OV(HOT)' is not worked out"),
        (of_entries("{ 64, 300 }"), "2:2", "how many readings are added up"),
        (of_entries("{ OV(1024), 0 }"), "2:2", "no reading of ten bits"),
        (of_entries("{ OV(089), 0 }"), "2:2", "not worked out"),
        (of_entries("{ OV(64), HOT }"), "2:10", "no temperature in whole degrees"),
        (of_entries("#if X\n{ OV(64), 300 },\n#endif"), "2:1", "'#if X' is no entry"),
        (of_entries("POINT(3, 4)"), "2:1", "'POINT(3, 4)' is no entry"),
        (f"#if X\n{of_entries('{ OV(64), 300 }, { OV(90), 2 }')}#endif\n", "1:1", "condition"),
        ("#define OV(N) N\n" + of_entries("{ OV(64), 300 }, { OV(90), 2 }"), "1:1", "says itself"),
        ("const short temptable_5[] = {\n{ OV(64), 300 },\n{ OV(7", "3:7", "ends within the table"),
        ("/* const short temptable_5[] = {\n", "1:1", "comment does not end"),
        ("const short temptable_6[] = { { OV(6), 7 } };", "1:1", "no table temptable_5"),
        (of_entries("{ OV(64), 300 }, { OV(90), 2 }") * 2, "4:20", "a second time"),
        ("", "1:1", "no table temptable_5"),
        (of_entries("{ OV(\x1b[31m), 3 }"), "2:2", r"'OV(\x1b[31m)' is not worked out"),
        (of_entries(f"{{ OV({'9' * 5000}), 3 }}"), "2:2", "is not worked out"),
        (of_entries(f"{{ OV({'1*' * 50000}1), 3 }}"), "1:20", "no two temperatures"),
    ],
)  # fmt: skip
def test_a_broken_table_is_unknown_and_says_where(text, place, said):
    found, problems = table(text)
    assert found.rows == ()
    assert str(found.unknown).startswith(f"thermistor/thermistor_5.h:{place}")
    assert said in found.unknown
    assert [str(problem) for problem in problems] == [found.unknown]


def test_two_that_differ_are_no_table_and_two_alike_are_one():
    one, other = (of_entries(f"{{ OV(64), {hot} }}, {{ OV(960), 0 }}") for hot in (300, 310))
    assert table(one, old=one)[0].rows
    found, _ = table(one, old=other)
    assert "old/thermistor_5.h gives table 5, too, and otherwise" in found.unknown


def test_only_what_a_setting_selects_is_read():
    assert table("no table at all", name="thermistor_6.h") == (None, ())

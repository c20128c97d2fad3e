"""A thermistor table of the user's own, as the firmware's file, against what is fitted."""

import re
import shutil

import pytest

from pincheck import api
from pincheck.model.finding import Severity
from pincheck.physics.divider import Divider
from pincheck.sensors import from_shares

# Semitec GT-2 glass thermistor data sheet, resistance tables 104GT and 105GT, ohm
GT104 = {
    0: 353700, 10: 208600, 20: 126800, 30: 79360, 40: 50960, 50: 33490, 60: 22510, 70: 15440,
    80: 10800, 90: 7686, 100: 5556, 110: 4082, 120: 3043, 130: 2298, 140: 1758, 150: 1360,
    160: 1064, 170: 841.4, 180: 671.4, 190: 540.8, 200: 439.3, 210: 359.7, 220: 296.9, 230: 246.8,
    240: 206.5, 250: 174, 260: 147.5, 270: 125.8, 280: 107.9, 290: 93.05, 300: 80.65,
}  # fmt: skip
GT105 = {
    0: 3833000, 20: 1289000, 40: 485200, 60: 201200, 80: 90530, 100: 43900, 150: 9330, 200: 2644,
    250: 932.3, 300: 389.4,
}  # fmt: skip
FILE = "thermistor/thermistor_5.h"


def header(table, pullup_ohm=4700, comment="", number=5):
    """Write a published table as counts of ten bits: 1024 R / (R + pull-up)."""
    counts = ((round(1024 * ohm / (ohm + pullup_ohm)), at_c) for at_c, ohm in table.items())
    rows = ",\n".join(f"  {{ OV({count:4d}), {at_c:3d} }}" for count, at_c in sorted(counts))
    return f"// {comment}\nconst temp_entry_t temptable_{number}[] PROGMEM = {{\n{rows}\n}};\n"


@pytest.fixture
def checked(tmp_path):
    def of(text, name=FILE, single=False, **changed):
        shutil.copytree(api.demo("clean/define"), tmp_path, dirs_exist_ok=True)
        main = tmp_path / "machine.h"
        for key, value in changed.items():
            main.write_text(re.sub(rf"(define {key} )\S+", rf"\g<1>{value}", main.read_text()))
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text)
        machine = api.load_configuration(main if single else tmp_path)
        assembly = api.load_wiring(api.demo("marsh-230-c.toml"))
        return api.check(machine, assembly), machine

    return of


def verdict(result, role, attribute):
    return next(v for v in result.verdicts if (v.role, v.attribute) == (role, attribute))


def test_a_published_table_in_counts_reads_within_one_count_of_it(checked):
    result, _ = checked(header(GT104))
    (claim,) = (c for c in result.claims.of("hotend.sensor") if c.attribute == "table")
    figures = dict(claim.value.figures)
    taken = from_shares(figures["shares"], "5", FILE).curve
    divider = Divider(4700.0, bits=10)
    for at_c, ohm in GT104.items():
        held = min(max(at_c, taken.low_c), taken.high_c)
        assert abs(1024 * (divider.fraction(taken.ohm(held)) - divider.fraction(ohm))) <= 1.0
    assert result.findings == ()


@pytest.mark.parametrize(
    "name", [FILE, "thermistor_5.h", "src/module/thermistor/thermistor_5.h", "own/thermistor_5.h"]
)
def test_the_wrong_part_behind_it_is_found_at_the_line_that_selects_it(checked, name):
    """The 104GT has 439.3 ohm at 200 C, the 105GT 389.4 at 300 and 932.3 ohm at 250 C: of 1024
    counts on 4.7 k these are 87.5, 78 and 169: 300 - 50 x 9.5 / 91 = 295 C.
    """
    (found,) = checked(header(GT105), name)[0].findings
    assert (found.rule, found.severity) == ("sensor-table-differs", Severity.FAULT)
    assert f"read as table 5 of the upload ({name}:2)" in found.message
    assert "at a true 200 C the firmware believes 295 C" in found.message
    assert found.claims[-1].setting.key == "TEMP_SENSOR_0"


def test_a_single_header_brings_its_table_along(checked):
    (found,) = checked(header(GT105), single=True)[0].findings
    assert "table 5 of the upload" in found.message


def test_near_miss_the_table_of_another_number_is_not_used(checked):
    result, machine = checked(header(GT105, number=6), "thermistor/thermistor_6.h")
    assert result.findings == ()
    assert machine.reason.endswith("not used: thermistor/thermistor_6.h")


def test_the_table_is_used_and_no_stray_file(checked):
    _, machine = checked(header(GT104))
    assert "not used" not in machine.reason
    assert "left out" not in machine.reason


def test_a_pull_up_in_a_comment_is_that_of_the_table(checked):
    result, _ = checked(header(GT104, 2200, "2.2 k pull-up"))
    assert [f.rule for f in result.findings] == ["sensor-pullup-differs"]
    assert "the firmware computes with 2200 ohm" in result.findings[0].message


def test_a_table_for_another_pull_up_that_nothing_names_is_the_wrong_table(checked):
    result, _ = checked(header(GT104, 2200))
    assert [f.rule for f in result.findings] == ["sensor-table-differs"]
    reason = verdict(result, "hotend.sensor", "pullup_ohm").reason
    assert reason == "the firmware's table does not say which pull-up it is for"


def test_the_minimum_is_held_against_the_end_of_the_very_table(checked):
    """Table 5 usually ends at 0 C; this one at 10 C, and the demo's minimum is 5 C."""
    result, _ = checked(header({at_c: ohm for at_c, ohm in GT104.items() if at_c >= 10}))
    (found,) = result.findings
    assert found.rule == "min-temp-hides-broken-wire"
    assert "reads 10 C at the lowest and the minimum is 5 C" in found.message
    assert FILE in found.numbers[0].source


def test_a_broken_table_is_not_checked_though_the_number_is_known(checked):
    result, _ = checked(header(GT104).replace("OV(  88)", "OV(HOT)"))
    assert result.findings == ()
    reason = verdict(result, "hotend.sensor", "table").reason
    assert reason.startswith(f"{FILE}:13:")
    assert "'OV(HOT)' is not worked out" in reason


def test_what_is_no_table_at_all_is_not_checked(checked):
    result, _ = checked("Dear reader, this is only a letter that somebody saved here.\n")
    assert "was not read: this is prose" in verdict(result, "hotend.sensor", "table").reason


def test_an_edit_names_another_number_and_leaves_the_table_alone(checked):
    """Of the bed's part tables 11 and 61 speak; 11 is the user's own."""
    result, _ = checked(header(GT105, number=11), "thermistor_11.h")
    (proposal,) = api.propose(result)
    assert {edit.source for edit in proposal.edits} == {"machine.h"}
    assert not any(edit.replacement.strip() == "11" for edit in proposal.edits)

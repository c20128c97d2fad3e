"""Names that firmware works out itself, from settings that stand in the headers."""

from collections.abc import Callable

import pytest

from pincheck.model.reading import Reading
from pincheck.model.setting import Activity

Read = Callable[..., Reading]

TYPES = """\
#define X_DRIVER_TYPE TMC2209
#define Y_DRIVER_TYPE TMC2208_STANDALONE
//#define Z_DRIVER_TYPE A4988
#define TEMP_SENSOR_0 -5
#define TEMP_SENSOR_BED 1
#define EXTRUDERS 1
#define MOTHERBOARD BOARD_LAPWING_EFB
"""


def taken(reading: Read, header: str, condition: str) -> list[Activity]:
    """Return what becomes of a setting under a condition and of its other branch."""
    found = reading(f"{header}#if {condition}\n#define A 1\n#else\n#define A 2\n#endif\n")
    return [setting.activity for setting in found.settings if setting.key == "A"]


@pytest.mark.parametrize(
    ("condition", "holds"),
    [
        ("HAS_TRINAMIC_CONFIG", True),
        ("HAS_TRINAMIC", True),
        ("ENABLED(HAS_TRINAMIC_CONFIG)", True),
        ("AXIS_IS_TMC(X)", True),
        ("AXIS_IS_TMC_CONFIG(X)", True),
        ("AXIS_IS_TMC(Y)", False),
        ("AXIS_IS_TMC_CONFIG(Z)", False),
        ("HAS_DRIVER(TMC2209)", True),
        ("HAS_DRIVER(TMC2130) || HAS_DRIVER(TMC2660)", False),
        ("TEMP_SENSOR_IS_MAX_TC(0)", True),
        ("TEMP_SENSOR_IS_MAX_TC(BED)", False),
        ("!TEMP_SENSOR_IS_MAX_TC(BED) && AXIS_IS_TMC(X)", True),
        ("TEMP_SENSOR_0_IS_AD8495", False),
        ("TEMP_SENSOR_0_IS_MAX31865", True),
        ("HEATER_0_USES_MAX6675", False),
        ("TEMP_SENSOR_BED_IS_AD595", False),
        ("HAS_HEATED_BED", True),
        ("MB(HERON, LAPWING_EFB)", True),
        ("MB(HERON) || MB(SNIPE)", False),
        ("FET_ORDER_EFB", True),
        ("IS_RAMPS_EEB", False),
        ("HAS_MULTI_EXTRUDER", False),
        ("HAS_MULTI_HOTEND", False),
        ("HAS_HOTEND", True),
        ("ENABLED(HAS_HOTEND) && ALL(HAS_HOTEND, HAS_HEATED_BED)", True),
        ("HOTENDS == 1 && E_STEPPERS == 1", True),
        ("HAS_MAX31865", True),
        ("HAS_BED_PROBE", False),
        ("CORE_IS_XY || CORE_IS_XZ", False),
    ],
)
def test_a_name_is_worked_out_from_what_the_user_sets(
    reading: Read, condition: str, holds: bool
) -> None:
    assert (taken(reading, TYPES, condition)[0] is Activity.ACTIVE) == holds
    assert taken(reading, TYPES, condition)[0] is not Activity.POSSIBLE


@pytest.mark.parametrize(
    ("header", "condition"),
    [
        ("", "HAS_TRINAMIC_CONFIG"),
        ("", "AXIS_IS_TMC(X)"),
        ("#define X_DRIVER_TYPE A4988\n", "AXIS_IS_TMC(Y)"),
        ("#if UNHEARD\n#define X_DRIVER_TYPE TMC2209\n#endif\n", "HAS_DRIVER(TMC2209)"),
        ("", "TEMP_SENSOR_IS_MAX_TC(0)"),
        ("", "TEMP_SENSOR_0_IS_AD8495"),
        ("#define TEMP_SENSOR_0 5\n", "TEMP_SENSOR_1_IS_AD8495"),
        ("", "HAS_MULTI_EXTRUDER"),
        ("", "MB(HERON)"),
        ("#define MOTHERBOARD 33\n", "MB(HERON)"),
        ("#define MOTHERBOARD BOARD_HERON\n", "FET_ORDER_EFB"),
        ("#define EXTRUDERS 2\n", "HAS_MULTI_HOTEND"),
        ("", "HAS_HOTEND"),
        ("", "HAS_BED_PROBE"),
        ("", "HAS_MAX31865"),
        ("", "HAS_TEMP_CHAMBER"),
        ("", "CORE_IS_XY"),
        ("#define EXTRUDERS 3\n", "HOTENDS == 3"),
        ("#define MOTHERBOARD 1\n#define EXTRUDERS 3\n#define MMU_MODEL X\n", "E_STEPPERS == 3"),
        ("#define MOTHERBOARD 1\n#if UNHEARD\n#define COREXY\n#endif\n", "CORE_IS_XY"),
    ],
)
def test_without_those_settings_nobody_knows(reading: Read, header: str, condition: str) -> None:
    assert taken(reading, header, condition) == [Activity.POSSIBLE, Activity.POSSIBLE]


@pytest.mark.parametrize(
    ("header", "condition"),
    [
        ("#define BLTOUCH\n", "HAS_BED_PROBE"),
        ("#define Z_PROBE_SERVO_NR 0\n", "HAS_BED_PROBE"),
        ("#define PROBE_MANUALLY\n//#define BLTOUCH\n", "!HAS_BED_PROBE"),
        ("#define COREYX\n", "CORE_IS_XY"),
        ("#define TEMP_SENSOR_CHAMBER 1\n", "HAS_TEMP_CHAMBER"),
        ("#define TEMP_SENSOR_CHAMBER 0\n", "!HAS_TEMP_CHAMBER"),
        ("#define EXTRUDERS 3\n#define SINGLENOZZLE\n", "HOTENDS == 1 && E_STEPPERS == 3"),
        ("#define EXTRUDERS 0\n", "!HAS_HOTEND && HOTENDS == 0"),
        ("#define TEMP_SENSOR_0 1\n#define TEMP_SENSOR_1 -5\n", "HAS_MAX31865"),
    ],
)
def test_the_two_headers_alone_decide(reading: Read, header: str, condition: str) -> None:
    whole = f"#define MOTHERBOARD BOARD_LAPWING\n{header}"
    assert taken(reading, whole, condition) == [Activity.ACTIVE, Activity.DISABLED]


def test_a_call_that_the_upload_defines_is_an_ordinary_macro(reading: Read) -> None:
    """Boards have numbers then; without the macro their names tell."""
    boards = "#define BOARD_CRAKE 33\n#define BOARD_SMEW 34\n"
    own = f"{boards}#define MB(board) (MOTHERBOARD == BOARD_##board)\n#define MOTHERBOARD 33\n"
    assert taken(reading, own, "MB(CRAKE)")[0] is Activity.ACTIVE
    assert taken(reading, own, "MB(SMEW)")[0] is Activity.DISABLED
    assert taken(reading, own, "MB(STRANGE)")[0] is not Activity.ACTIVE
    assert taken(reading, f"{boards}#define MOTHERBOARD 33\n", "MB(CRAKE)")[0] is Activity.POSSIBLE


def test_what_a_file_says_itself_counts_more(reading: Read) -> None:
    header = TYPES + "#define HAS_TRINAMIC_CONFIG 0\n"
    assert taken(reading, header, "HAS_TRINAMIC_CONFIG")[0] is Activity.DISABLED


def test_a_list_of_other_drivers_has_none_of_these(reading: Read) -> None:
    header = "#define X_DRIVER_TYPE A4988\n#define E0_DRIVER_TYPE LV8729\n"
    assert taken(reading, header, "HAS_TRINAMIC_CONFIG")[0] is Activity.DISABLED


def test_extruders_that_share_a_nozzle_leave_it_open(reading: Read) -> None:
    header = "#define EXTRUDERS 2\n#define SINGLENOZZLE\n//#define MIXING_EXTRUDER\n"
    assert taken(reading, header, "HAS_MULTI_HOTEND")[0] is Activity.POSSIBLE


def test_two_extruders_have_a_nozzle_each_where_nothing_joins_them(reading: Read) -> None:
    header = "#define EXTRUDERS 2\n//#define SINGLENOZZLE\n//#define MIXING_EXTRUDER\n"
    assert taken(reading, header, "HAS_MULTI_HOTEND")[0] is Activity.ACTIVE

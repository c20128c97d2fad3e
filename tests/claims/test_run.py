"""A start-up script is carried out: what holds is what stands when it has ended."""

import pytest
from applied import claims_of, read

from pincheck.model.claim import Claims, PinValue, Value
from pincheck.model.reading import Reading
from pincheck.model.source import Source

HEAT = """M308 S0 P"PC4" Y"thermistor" T100000 B3950
M950 H0 C"PA8" T0
M140 H0
M143 H0 S115
M308 S1 P"PC5" Y"thermistor" T100000 B4725 C7.06e-8
M950 H1 C"PC8" T1
M143 H1 S255
M570 H1 P4 T10
M307 H1 R2.4 K0.36:0.12 D4.5
M950 F0 C"PB8"
M950 F1 C"PB6"
M106 P1 H1 T50
M563 P0 D0 H1 F0
M574 Z1 S1 P"PC2"
M584 X0 Y1 Z2 E3
M906 X1000 E800
M950 S0 C"PA1"
M558 P9 C"^PB1"
"""


def started(script: str, **others: str) -> Claims:
    """Return what a machine's start-up script claims, with others beside it."""
    return claims_of("gcode", *sources(script, others))


def sources(script: str, others: dict[str, str]) -> list[Source]:
    """Return the sources, the start-up script first."""
    names = {name.replace("_", ".") if name.endswith("_g") else name: text
             for name, text in others.items()}  # fmt: skip
    return [Source.of_text(name, text) for name, text in {"config.g": script, **names}.items()]


def value(claims: Claims, role: str, attribute: str) -> Value | None:
    """Return a certain value, None where nothing is claimed."""
    claim = claims.find(role, attribute)
    assert claim is None or not claim.doubt, claim.doubt
    return claim and claim.value


@pytest.mark.parametrize(
    ("script", "role", "attribute", "expected"),
    [
        (HEAT, "hotend.fan", "watches", "hotend.heater"),
        # before it is created: lost
        ('M106 P1 H1\nM950 F1 C"PB6"\n', "aux.fan", "watches", None),
        (f"M143 H1 S255\n{HEAT.replace('M143 H1 S255', '')}", "hotend.heater", "max_c", 290.0),
        # created afresh: gone
        (HEAT + 'M950 F1 C"PB6"\n', "hotend.fan", "watches", None),
        (HEAT + 'M950 H1 C"PC8" T1\n', "hotend.heater", "max_c", 290.0),
        (HEAT + 'M950 H1 C"PC8" T1\n', "hotend.heater", "trip_period_s", 5.0),
        (HEAT + 'M950 H1 C"PC8" T1\n', "hotend.heater", "model_rate_k_s", None),
        (HEAT + 'M950 H1 C"PC8"\n', "hotend.heater", "regulated_by", "none"),
        (HEAT + "M140 H0\n", "bed.heater", "max_c", 125.0),
        (HEAT + "M140 S60\n", "bed.heater", "max_c", 115.0),
        (HEAT + "M574 Z0\n", "z.endstop", "pin", None),
        (HEAT + "M574 Z1 S2\n", "z.endstop", "pin", None),
        (HEAT + "M584 X4\n", "x.motor", "current_a", None),
        (HEAT + 'M558 P8 C"PB1"\n', "probe.signal", "pull", "none"),
        # near misses: without the pin, the kind or the axis nothing is created
        (HEAT + "M950 H1 Q10\n", "hotend.heater", "max_c", 255.0),
        (HEAT + "M950 F1 Q100\n", "hotend.fan", "watches", "hotend.heater"),
        (HEAT + "M308 S1 A\"hot\"\n", "hotend.sensor", "pin", PinValue("PC5")),
        (HEAT + "M558 P9 F300\n", "probe.signal", "pull", "up"),
        (HEAT + "M584 Y4\n", "x.motor", "current_a", pytest.approx(0.7071, abs=1e-4)),
        (HEAT + "M574 Z2\n", "z.endstop", "pin", PinValue("PC2")),
        # where the pin goes, so does the fan
        (HEAT + 'M950 F1 C"nil"\nM106 P1 H1\n', "hotend.fan", "watches", None),
    ],
)  # fmt: skip
def test_a_claim_is_the_state_when_start_up_ends(
    script: str, role: str, attribute: str, expected: Value | None
) -> None:
    found = value(started(script), role, attribute)
    if isinstance(expected, PinValue):
        assert isinstance(found, PinValue)
        assert found.written == expected.written
    else:
        assert found == expected


@pytest.mark.parametrize(
    ("again", "c"),
    [
        ('M308 S1 P"PC5" Y"thermistor" T100000 B4725', 0.0),
        ('M308 S1 P"PC5" Y"thermistor" T100000', 7.06e-8),
        ("M308 S1 B4600", 0.0),
        ("M308 S1 R4700", 7.06e-8),
    ],
)
def test_a_sensor_set_up_again_keeps_nothing(again: str, c: float) -> None:
    """B without C means C = 0, and what the first line gave is gone (from memory)."""
    table = value(started(f"{HEAT}{again}\n"), "hotend.sensor", "table")
    assert dict(table.figures)["c"] == pytest.approx(c)


def lost(reading: Reading) -> list[tuple[str, str]]:
    """Return each lost command with the one that takes the blame."""
    return list(dict.fromkeys((it.setting.section, it.by.section if it.by else "")
                              for it in reading.lost))  # fmt: skip


@pytest.mark.parametrize(
    ("script", "others", "expected"),
    [
        ('M106 P1 H1\nM950 F1 C"PB6"\n', {}, [("M106 P1", "M950 F1")]),
        (HEAT + "M106 P5 H1\n", {}, [("M106 P5", "")]),
        (HEAT + 'M950 F1 C"PB6"\n', {}, [("M950 F1", "M950 F1"), ("M106 P1", "M950 F1")]),
        (HEAT, {"deployprobe_g": "M280 P1 S10\n"}, [("M280 P1", "")]),
        (HEAT, {"deployprobe_g": 'M98 P"pin.g"\n', "pin_g": "M280 P2\n"}, [("M280 P2", "")]),
        (HEAT, {"tpre0_g": "M280 P3 S1\n", "tpre4_g": "M280 P3 S1\n"}, [("M280 P3", "")]),
        # near misses
        (HEAT, {"deployprobe_g": "M280 P0 S10\n"}, []),
        (HEAT, {"a macro_g": "M280 P1 S10\n"}, []),
        (HEAT, {"start_g": 'M950 S1 C"PB9"\n', "retractprobe_g": "M280 P1 S10\n"}, []),
        (HEAT + 'M98 P"gone.g"\nM106 P5 H1\n', {}, []),
        ("M305 P1 T100000\nM106 P5 H1\n", {}, []),
        ('M98 P"f.g"\nM106 P1 H1\n', {"f_g": 'M950 F1 C"PB6"\n'}, []),
    ],
)
def test_commands_for_what_is_not_there_are_lost(
    script: str, others: dict[str, str], expected: list[tuple[str, str]]
) -> None:
    """Each is named, with what creates its object too late or afresh."""
    reading = read("gcode", *sources(script, others))
    assert [it for it in lost(reading) if it[0] != "M143 H0"] == expected


def test_what_may_create_leaves_it_open() -> None:
    """Under a condition nobody decides, neither state is certain; two opposite ones cover all."""
    maybe = f'{HEAT}if a.b\n  M950 F1 C"PB6"\n'
    assert "not (a.b)" in started(maybe).find("hotend.fan", "watches").doubt
    both = 'if a.b\n  M950 F1 C"PB6"\nelse\n  M950 F1 C"PB6"\nM106 P1 H1\nM308 S1 Y"pt1000"\n'
    assert [it.activity.name for it in read("gcode", both).settings if it.section == "M106 P1"] == [
        "ACTIVE"
    ] * 2
    one = both.replace("else", "if c.d")
    doubts = {it.condition for it in read("gcode", one).settings if it.section == "M106 P1"}
    assert doubts == {"a.b or c.d"}


def test_a_part_of_a_machine_loses_nothing() -> None:
    """A script that is not the start-up one speaks of things that others create."""
    part = Source.of_text("fans.g", 'M950 F0 C"PB8"\nM106 P5 H1\n')
    assert read("gcode", part).lost == ()


def test_another_system_folder() -> None:
    """Later calls look there, and what it lacks was not sent; a whole path stays what it is."""
    files = {
        "card/sys/config.g": 'M505 P"other"\nM98 P"a.g"\nM98 P"b.g"\nM98 P"/sys/a.g"\n',
        "card/sys/a.g": "M1\n",
        "card/sys/b.g": "M2\n",
        "card/sys/other/a.g": "M3\n",
    }
    reading = read("gcode", *(Source.of_text(name, text) for name, text in files.items()))
    places = [it.source.name for it in reading.settings if it.section in ("M1", "M2", "M3")]
    assert places == ["card/sys/other/a.g", "card/sys/a.g"]
    assert [missing.name for missing in reading.not_sent] == ["b.g"]


@pytest.mark.parametrize(
    ("start", "folder", "sent"),
    [
        ("sys/", "alt", False),
        ("", "alt", False),
        ("", "0:/alt", False),
        ("", "/sys", True),
        ("sys/", "0:/sys/", True),
    ],
)
def test_a_system_folder_that_was_not_sent(start: str, folder: str, sent: bool) -> None:
    script = f'M505 P"{folder}"\nM98 P"a.g"\n'
    files = {f"{start}config.g": script, f"{start}a.g": "M1\n"}
    reading = read("gcode", *(Source.of_text(name, text) for name, text in files.items()))
    assert [missing.name for missing in reading.not_sent] == ([] if sent else ["a.g"])
    assert any(it.section == "M1" for it in reading.settings) == sent


def test_a_path_of_the_card_below_any_folder() -> None:
    """An upload may have folders on top of the card's own."""
    files = {
        "up/card/sys/config.g": 'M98 P"/macros/x/a.g"\n',
        "up/card/macros/x/a.g": 'M98 P"0:/sys/b.g"\n',
        "up/card/sys/b.g": "M2\n",
        "up/card/macros/b.g": "M3\n",
    }
    reading = read("gcode", *(Source.of_text(name, text) for name, text in files.items()))
    assert [it.section for it in reading.settings if it.section != "M98"] == ["M2"]

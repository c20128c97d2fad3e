"""`duplicate-setting`."""

from attrs import evolve

from pincheck.model.claim import Claim
from pincheck.model.finding import Severity
from pincheck.model.setting import Setting
from pincheck.model.source import Source

RULE = "duplicate-setting"


def twice(first, second, role="hotend.heater", attribute="min_c", mark=""):
    text = f"{mark}min_temp: {first}\n{mark}min_temp: {second}\n"
    source = Source.of_text("machine.cfg", text)
    claims = []
    for value, start in ((first, len(mark)), (second, text.index("\n") + 1 + len(mark))):
        end = text.index("\n", start)
        setting = Setting(
            "section", source, "extruder", "min_temp", str(value),
            start, end, start, start + 8, start + 10, end,
        )  # fmt: skip
        claims.append(Claim(role, attribute, float(value), setting))
    return (tuple(claims),)


def test_both_lines_are_named(machine, ask):
    found = ask(RULE, machine(overridden=twice(5, 0))).finding
    assert found.severity is Severity.ADVICE
    assert found.message == (
        "The lowest temperature taken for real of the hot-end heater is set twice: 5 at "
        "machine.cfg:1 is overridden by 0 at machine.cfg:2."
    )
    assert [claim.value for claim in found.claims] == [0.0, 5.0]


def test_near_miss_the_same_value_twice(machine, ask):
    assert not ask(RULE, machine(overridden=twice(5, 5))).findings


def test_what_the_firmware_saved_over_the_file_is_meant_so(machine, ask):
    assert not ask(RULE, machine(overridden=twice(5, 0, mark="#*# "))).findings


def test_a_default_overridden_by_a_line_is_no_second_setting(machine, ask):
    ((loser, winner),) = twice(5, 0)
    assert not ask(RULE, machine(overridden=((evolve(loser, setting=None), winner),))).findings

"""`duplicate-setting`."""

from attrs import evolve

from pincheck.model.claim import Claim, PinValue, Place
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


def test_a_line_that_says_two_things_is_named_once(machine, ask):
    """A pin with its mark for inverted is two claims of one line."""
    pairs = (*twice(5, 0), *twice(1, 2, attribute="max_c"))
    assert len(ask(RULE, machine(overridden=pairs)).findings) == 1


def test_no_pin_yet_is_no_other_pin(machine, ask):
    """Scripts let go of a pin before they bind it anew."""
    ((loser, winner),) = twice(5, 0, attribute="pin")
    nothing = evolve(loser, value=PinValue("nil", absent=True))
    bound = evolve(winner, value=PinValue("PC8", Place("main", "PC8")))
    assert not ask(RULE, machine(overridden=((nothing, bound),))).findings
    assert ask(RULE, machine(overridden=((bound, nothing),))).findings


def test_near_miss_the_same_value_twice(machine, ask):
    assert not ask(RULE, machine(overridden=twice(5, 5))).findings


def test_what_the_firmware_saved_over_the_file_is_meant_so(machine, ask):
    assert not ask(RULE, machine(overridden=twice(5, 0, mark="#*# "))).findings


def test_a_default_overridden_by_a_line_is_no_second_setting(machine, ask):
    ((loser, winner),) = twice(5, 0)
    assert not ask(RULE, machine(overridden=((evolve(loser, setting=None), winner),))).findings


def test_what_the_firmware_saved_into_a_file_of_its_own_is_meant_so(machine, ask):
    ((loser, winner),) = twice(5, 0)
    saved = Source.of_text("sys/config-override.g", winner.setting.source.text)
    later = evolve(winner, setting=evolve(winner.setting, source=saved))
    assert not ask(RULE, machine(overridden=((loser, later),))).findings


def test_every_line_without_effect_is_taken_out(machine, ask):
    """Three lines of one setting are one finding, and two of them go."""
    ((first, winner),) = twice(5, 0)
    assert first.setting
    second = evolve(first, value=4.0, setting=evolve(first.setting, start=16, value="4"))
    found = ask(RULE, machine(overridden=((first, winner), (second, winner)))).finding
    assert "is set 3 times: 5 at machine.cfg:1 and 4 at machine.cfg:2 are over" in found.message
    assert [(change.claim, change.value) for change in found.changes] == [
        (first, None),
        (second, None),
    ]


def test_a_file_read_over_another_one_is_meant_so(machine, ask):
    ((loser, winner),) = twice(5, 0)
    other = Source.of_text("head.cfg", loser.setting.source.text)
    elsewhere = evolve(loser, setting=evolve(loser.setting, source=other))
    assert not ask(RULE, machine(overridden=((elsewhere, winner),), style="section")).findings
    assert ask(RULE, machine(overridden=((elsewhere, winner),), style="define")).findings

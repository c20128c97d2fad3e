"""A walk as it was walked."""

import json
import re
from functools import cache

import pytest

from pincheck import api
from pincheck.bench.document import document, saved
from pincheck.bench.record import WalkRecord
from pincheck.bench.step import ReadingError
from pincheck.bench.text import text
from pincheck.model.finding import Severity
from pincheck.model.problem import UnreadableError


@cache
def result(kind):
    machine = api.load_configuration(api.demo(kind) / "section")
    return api.check(machine, api.load_wiring(api.demo("marsh-230-c.toml")))


@pytest.fixture
def record():
    return WalkRecord(result("clean"))


def step(record, name):
    return next(s for s in record.steps if s.id == name)


def test_a_reading_is_judged_and_kept_and_ticks_only_where_it_agrees(record):
    heater, count = step(record, "hotend.heater resistance"), len(record.steps)
    assert record.read(heater, "14.6").state == "agrees"
    assert record.summary() == f"1 of {count} steps done; 1 judged, 0 wrong"
    assert record.read(heater, "3,6").state == "contradicts"
    assert record.judgement(heater).reading == 3.6
    assert not record.done(heater)
    assert record.headline == (
        "Do not go on: 1 step at the bench contradicts (hot-end heater, resistance). On paper: "
        "Configuration and wiring agree."
    )
    record.tick(heater)
    assert record.answers == {}


def test_a_failed_reading_without_power_keeps_the_power_off(record):
    record.read(step(record, "hotend.heater resistance"), "3.6")
    assert {s.power for s in record.steps} == {"off"}
    assert len(record.stops) == 1
    assert record.stops[0].startswith("hot-end heater, resistance: 3.6 ohm is below")
    page = "\n".join(text(record))
    assert "\nPower on\n" not in page
    assert page.index("Power off\n") < page.index("Stop here: no power before this is mended")
    whole = json.loads(document(record))
    assert whole["stopped_by"] == list(record.stops)
    assert {s["power"] for s in whole["steps"]} == {"off"}
    failed = next(s for s in whole["steps"] if s["id"] == "hotend.heater resistance")
    assert (failed["state"], failed["done"]) == ("contradicts", False)


def test_a_failed_reading_with_power_ends_the_walk_at_its_step(record):
    rail = step(record, "tool.5V voltage")
    record.read(rail, "9.1")
    assert record.steps[-1] == rail
    assert record.stops[0].startswith("5V of Lapwing C, voltage: 9.10 V is above")
    record.read(rail, "5.0")
    assert record.steps[-1].id == "z homes"
    assert record.stops == ()


def test_no_step_has_power_while_a_danger_is_open():
    held = WalkRecord(result("planted"))
    assert {s.power for s in held.steps} == {"off"}
    dangers = [f.message for f in held.result.findings if f.severity is Severity.DANGER]
    assert list(held.stops) == dangers
    assert "stops before power on" in held.summary()
    page = "\n".join(text(held))
    assert "Do not power on" in page
    assert f"  - {dangers[0]}" in page
    held.renew(result("clean"))
    assert (held.stops, held.steps[-1].power) == ((), "on")


def test_what_is_no_reading_changes_nothing(record):
    with pytest.raises(ReadingError):
        record.read(step(record, "hotend.heater resistance"), "warm")
    assert record.answers == {}


def test_the_room_moves_the_bands_of_the_sensors(record):
    warm = step(record, "bed.sensor resistance").high
    record.read(step(record, "room temperature"), "15")
    assert step(record, "bed.sensor resistance").high > warm * 1.4
    assert "15 C" in step(record, "bed.sensor resistance").title


def test_a_tick_can_be_taken_away_with_its_reading(record):
    heater = step(record, "hotend.heater resistance")
    record.read(heater, "14.6")
    record.tick(heater)
    assert record.judgement(heater) is None
    assert not record.done(heater)


def test_a_look_that_failed_is_marked_so_and_ends_the_walk(record):
    switch = step(record, "x.endstop answers")
    record.read(switch, "no")
    assert record.steps[-1] == switch
    assert "[!] x endstop answers" in "\n".join(text(record))


def test_a_measured_step_that_is_only_ticked_is_done_and_not_judged(record):
    heater = step(record, "hotend.heater resistance")
    record.tick(heater)
    assert record.done(heater)
    assert record.judgement(heater) is None
    assert heater in record.open_steps
    assert "1 of them without a reading" in record.summary()


def test_readings_are_taken_up_where_they_were_left(tmp_path):
    file = tmp_path / "mine.readings"
    first = WalkRecord(result("clean"), file)
    first.read(step(first, "room temperature"), "15")
    first.read(step(first, "hotend.heater resistance"), "3,6")
    again = WalkRecord(result("clean"), file)
    assert again.answers == {"room temperature": "15", "hotend.heater resistance": "3,6"}
    assert again.wrong == first.wrong != ()
    assert "15 C" in step(again, "bed.sensor resistance").title
    again.tick(step(again, "hotend.heater resistance"))
    assert WalkRecord(result("clean"), file).wrong == ()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('machine = "Another"\n[readings]\n', "1:11: these are the readings of Another"),
        ('machine = "Marsh 230 with Lapwing C"\n[readings\n', "2:10"),
        ("not a reading at all", "mine.readings:1"),
        ("[readings]\n", "lacks the key 'machine'"),
    ],
)
def test_what_is_no_file_of_readings_is_refused_and_stays(tmp_path, text, said):
    file = tmp_path / "mine.readings"
    file.write_text(text)
    with pytest.raises(UnreadableError, match=re.escape(said)):
        WalkRecord(result("clean"), file)
    assert file.read_text() == text


def test_the_text_tells_steps_readings_and_cautions(record):
    record.read(step(record, "hotend.heater resistance"), "14.6")
    page = "\n".join(text(record))
    assert "Power off and unplug before you measure" in page
    assert "[x] hot-end heater, resistance" in page
    assert "read: 14.6 ohm agrees with" in page
    assert page.index("Power off\n") < page.index("Power on\n")


def test_the_document_has_every_step_and_an_open_reading(record):
    record.read(step(record, "hotend heater apart from sensor"), "OL")
    whole = json.loads(document(record))
    assert whole["schema_version"] == 1
    assert [s["id"] for s in whole["steps"]] == [s.id for s in record.steps]
    found = next(s for s in whole["steps"] if s["id"] == "hotend heater apart from sensor")
    assert (found["reading"], found["state"], found["done"]) == ("open", "agrees", True)
    states = {s["state"] for s in whole["steps"]}
    assert states == {"agrees", "not checked"}


def test_the_ending_of_the_name_decides_the_form(record, tmp_path):
    assert saved(record, tmp_path / "walk.json").startswith("{")
    assert saved(record, tmp_path / "walk.txt").startswith("First power-on of Marsh 230")

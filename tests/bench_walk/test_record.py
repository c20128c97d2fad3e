"""A walk as it was walked."""

import json

import pytest

from pincheck import api
from pincheck.bench.judge import ReadingError
from pincheck.bench.record import Record, document, saved, text


@pytest.fixture(scope="module")
def result():
    machine = api.load_configuration(api.demo("planted/section"))
    return api.check(machine, api.load_wiring(api.demo("marsh-230-c.toml")))


@pytest.fixture
def record(result):
    return Record(result)


def step(record, name):
    return next(s for s in record.steps if s.id == name)


def test_a_reading_is_judged_ticked_and_kept(record):
    heater = step(record, "hotend.heater resistance")
    assert record.read(heater, "14.6").state == "agrees"
    assert record.read(heater, "3,6").state == "contradicts"
    assert record.judgement(heater).reading == 3.6
    assert record.summary() == f"1 of {len(record.steps)} steps done; 1 reading, 1 not as expected"


def test_what_is_no_reading_changes_nothing(record):
    with pytest.raises(ReadingError):
        record.read(step(record, "hotend.heater resistance"), "warm")
    assert record.readings == {}
    assert record.ticked == set()


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
    assert heater.id not in record.ticked


def test_the_text_tells_dangers_steps_readings_and_cautions(record):
    record.read(step(record, "hotend.heater resistance"), "3.6")
    page = "\n".join(text(record))
    assert "Do not power on" in page
    assert "Power off and unplug before you measure" in page
    assert "[x] hot-end heater, resistance" in page
    assert "read: 3.6 ohm is below what is expected" in page
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

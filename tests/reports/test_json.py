"""The JSON document keeps to its schema, is the same every time, and says what the result says."""

import json
from pathlib import Path

import pytest
from jsonschema import ValidationError

from pincheck import api
from pincheck.model.finding import Severity
from pincheck.reports import json as report


@pytest.mark.parametrize("style", ["define", "section", "gcode"])
@pytest.mark.parametrize("files", ["clean", "planted"])
def test_the_document_keeps_to_the_schema(files: str, style: str, contract) -> None:
    assembly = api.load_wiring(api.demo("marsh-230-c.toml"))
    result = api.check(api.load_configuration(api.demo(files) / style), assembly)
    proposals = api.propose(result)
    text = report.document(result, proposals)
    document = json.loads(text)
    contract("result").validate(document)
    assert text == report.document(result, proposals)
    assert text.isascii()
    assert document["counts"]["danger"] == result.count(Severity.DANGER)
    states = [verdict["state"] for verdict in document["verdicts"]]
    assert document["counts"]["not_checked"] == states.count("not checked")
    assert sum(document["counts"][s] for s in ("agrees", "contradicts", "not_checked")) == len(
        states
    )


def test_the_schema_refuses_what_is_not_in_it(contract) -> None:
    valid = contract("result")
    with pytest.raises(ValidationError):
        valid.validate({"schema_version": 1})


def test_places_are_relative_to_what_was_handed_over(tmp_path: Path) -> None:
    (tmp_path / "m.cfg").write_text("[printer]\n[extruder]\nheater_pin: PB7\n")
    assembly = api.load_wiring(api.demo("marsh-230-c.toml"))
    result = api.check(api.load_configuration(tmp_path), assembly)
    text = report.document(result)
    assert str(tmp_path) not in text
    assert '"file": "m.cfg"' in text

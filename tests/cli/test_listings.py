"""The commands that only list: every document keeps its contract, a search finds what it should."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from pincheck.cli.main import main

Contract = Callable[[str], Draft202012Validator]


@pytest.mark.parametrize(
    ("command", "part"),
    [
        (["claims", "--demo"], "claims"),
        (["trace", "--demo"], "roles"),
        (["trace", "part.fan", "--demo"], "roles"),
        (["figures", "--demo"], "roles"),
        (["rules"], "rules"),
        (["words", "wiring"], "entries"),
        (["words", "gcode"], "entries"),
        (["parts"], "parts"),
        (["chips", "lpc176"], "chips"),
    ],
)
def test_every_listing_keeps_its_contract_and_lists_something(
    command: list[str], part: str, contract: Contract, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*command, "--json"]) == 0
    out, err = capsys.readouterr()
    document = json.loads(out)
    contract(command[0]).validate(document)
    assert document[part]
    assert err == ""


def test_a_search_wants_every_word_however_it_is_spaced(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Of the fans for 24 V three have a tachometer or a control wire, one of them both."""
    assert main(["parts", "24 v", "FAN", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["parts"]
    assert {part["kind"] for part in found} == {"fan"}
    rated = {it["value"] for part in found for it in part["figures"] if it["key"] == "rated_v"}
    assert rated == {24.0}


def test_figures_are_told_with_words_and_unit(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["parts", "heater-24v-40w"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "rated voltage 24 V, power 40 W, resistance 14.4 ohm, tolerance 5 %" in out


def test_parts_of_ones_own_are_listed_or_their_mistakes_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    mine = tmp_path / "mine.toml"
    mine.write_text('[fan-snipe]\nkind = "fan"\ncurrent_a = 0.12\n')
    assert main(["parts", "--file", str(mine)]) == 0
    assert "current 0.12 A" in capsys.readouterr().out
    mine.write_text('[fan-snipe]\nkind = "fann"\n')
    assert main(["parts", "--file", str(mine)]) == 2
    assert "mine.toml:2" in capsys.readouterr().err


def test_one_chip_shows_its_pins_and_a_family_is_found_by_its_name(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["chips", "STM32F401RCT6"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "PC5 ADC1 channel 15; stands 5 V unless analog" in out
    assert main(["chips", "avr", "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["chips"]) > 5


@pytest.mark.parametrize(
    ("command", "said"),
    [
        (["parts", "heater", "24v", "41w"], "did you mean heater-24v-40w?"),
        (["chips", "stm32f9"], "did you mean stm32f4"),
    ],
)
def test_what_is_not_there_ends_with_2_and_what_comes_near(
    command: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(command) == 2
    assert said in capsys.readouterr().err


def test_the_version_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.startswith("pincheck ")

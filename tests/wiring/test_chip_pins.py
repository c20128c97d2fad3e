"""Chip pins are looked up and counted when a board's file is read."""

import pytest

from pincheck.model.problem import UnreadableError
from pincheck.wiring import load_board

TOP = '[board]\nname = "Avocet"\nchip = "stm32f401rct6"\n'


def told(folder, text):
    """Return every mistake of a board, one line each."""
    path = folder / "board.toml"
    path.write_text(TOP + text, encoding="utf-8")
    try:
        load_board(path)
    except UnreadableError as error:
        return [str(problem) for problem in error.problems]
    return []


def nets(*pins):
    """Return a net and a connector's pin for each chip pin, the first table on line 4."""
    tables = "".join(f'[nets.N{n}]\nchip_pin = "{pin}"\n' for n, pin in enumerate(pins))
    listed = ", ".join(f'"N{number}"' for number in range(len(pins)))
    return f"{tables}[connectors.out]\npins = [{listed}]\n"


def test_a_pin_that_the_chip_lacks_is_told_with_the_nearest(tmp_path):
    """Ports of this package's chip have 16 pins, from 0 to 15."""
    (only,) = told(tmp_path, nets("PC18", "PB7"))
    assert only.startswith("board.toml:5:12: stm32f401rct6 has no pin 'PC18'; did you mean 'PC")
    assert told(tmp_path, nets("PC8", "pb7")) == []


@pytest.mark.parametrize("pin", ["gpio3", "P1.23", "PC8O", "PC8."])
def test_a_pin_in_another_chips_spelling_is_told(tmp_path, pin):
    assert "has no pin" in told(tmp_path, nets(pin))[0]


def test_what_is_no_pin_of_any_chip_is_left_to_the_board(tmp_path):
    """An output of an expander, and a chip that nobody knows, cannot be looked up."""
    assert told(tmp_path, nets("I2SO.1")) == []
    text = nets("PC18")
    path = tmp_path / "other.toml"
    path.write_text(TOP.replace("stm32f401rct6", "whimbrel9") + text, encoding="utf-8")
    assert load_board(path).nets["N0"].chip_pin == "PC18"


@pytest.mark.parametrize(
    "text",
    [
        '[drivers.X]\nenable_pin = "PC18"\n',
        '[pin_names.gcode]\nfan9 = "PC18"\n',
        '[stock_pins]\nFAN_PIN = "PC18"\n',
    ],
)
def test_every_table_that_names_chip_pins_is_looked_at(tmp_path, text):
    (only,) = told(tmp_path, text)
    assert only.startswith("board.toml:5:")
    assert "no pin 'PC18'" in only


def test_names_of_a_pins_header_that_are_no_pins_are_left(tmp_path):
    assert told(tmp_path, '[stock_pins]\nFAN_PIN = "MOSFET_B"\nTEMP_0_PIN = "-1"\n') == []


def test_one_pin_on_two_nets_is_told_with_what_to_write(tmp_path):
    (only,) = told(tmp_path, nets("PB7", "PB8", "pb7"))
    assert only == (
        "board.toml:9:12: PB7 serves net N0 already; expected one net for each chip pin, "
        'then driven_by = "N0"'
    )


def test_drivers_may_share_a_pin_for_one_purpose_only(tmp_path):
    """Two motors of one axis step together; a direction on a step pin drives neither."""
    x = '[drivers.X]\nstep_pin = "PA4"\nenable_pin = "PA6"\n'
    assert told(tmp_path, x + '[drivers.X2]\nstep_pin = "PA4"\nenable_pin = "PA6"\n') == []
    (only,) = told(tmp_path, x + '[drivers.Y]\ndir_pin = "PA4"\n')
    assert only.startswith("board.toml:8:11: PA4 serves the steps of a driver already")

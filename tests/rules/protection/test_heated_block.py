"""What a heater heats: the part's figures, else the firmware's own model, else a budget."""

import pytest

from pincheck.analysis.heated_block import heated_by, heaviest
from pincheck.physics.thermal import PLATE, ThermalBlock

HEATER = "hotend.heater"
NO_BLOCK = (
    ("marsh-230-c.toml", '[fit.hotend_block]\nrole = "hotend.block"\npart = "block-lined"\n', ""),
)
MODEL = {(HEATER, "heat_capacity_j_k"): 16.7, (HEATER, "loss_w_k"): 0.068}


def test_the_fitted_block_outweighs_the_firmwares_model(machine):
    found = heated_by(machine(MODEL), HEATER)
    assert (found.block.heat_capacity_j_k, found.block.loss_w_k) == (12.0, 0.12)
    assert (found.origin, found.assumed) == ("part block-lined", False)


def test_the_firmwares_model_outweighs_a_budget(machine):
    found = heated_by(machine(MODEL, wiring=NO_BLOCK), HEATER)
    assert (found.block.heat_capacity_j_k, found.block.loss_w_k) == (16.7, 0.068)
    assert found.origin.startswith("the firmware's model at made:")
    assert not found.assumed
    assert heaviest(found, HEATER) == found.block


@pytest.mark.parametrize("missing", ["heat_capacity_j_k", "loss_w_k"])
def test_half_a_model_is_none(machine, missing):
    found = heated_by(machine({**MODEL, (HEATER, missing): None}, wiring=NO_BLOCK), HEATER)
    assert (found.block, found.assumed) == (ThermalBlock(), True)


def test_a_bed_without_figures_is_a_small_plate_and_may_be_a_heavy_one(machine):
    wiring = (
        ("marsh-230-c.toml",
         '[fit.bed_plate]\nrole = "bed.plate"\npart = "plate-coated-steel"\n', ""),
    )  # fmt: skip
    found = heated_by(machine(wiring=wiring), "bed.heater")
    assert (found.block, found.assumed) == (PLATE, True)
    assert heaviest(found, "bed.heater").heat_capacity_j_k == 5000.0

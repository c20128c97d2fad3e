"""What a heater heats: the firmware's own model, else the part's figures, else a band."""

import pytest
from attrs import evolve

from pincheck.analysis.case import Case
from pincheck.analysis.heated_block import heated_by, wild_model
from pincheck.physics.thermal import PLATE, ThermalBlock

HEATER = "hotend.heater"
BLOCK = '[fit.hotend_block]\nrole = "hotend.block"\npart = "block-marsh"\n'
PLATE_FIT = '[fit.bed_plate]\nrole = "bed.plate"\npart = "plate-marsh"\n'
NO_BLOCK = (("marsh-230-c.toml", BLOCK, ""),)
MODEL = {(HEATER, "heat_capacity_j_k"): 16.5, (HEATER, "loss_w_k"): 0.068}


def figures(block):
    return block.heat_capacity_j_k, block.loss_w_k, block.fan_loss_w_k


def test_what_the_firmware_measured_outweighs_the_fitted_part(machine):
    """Within a tenth; 0.108 W/K in the fan's air are 0.04 W/K more."""
    found = heated_by(machine({**MODEL, (HEATER, "blown_loss_w_k"): 0.108}), HEATER)
    assert figures(found.block) == pytest.approx((16.5, 0.068, 0.04))
    assert figures(found.light) == pytest.approx((14.85, 0.0612, 0.036))
    assert figures(found.heavy) == pytest.approx((18.15, 0.0748, 0.044))
    assert found.origin.startswith("the firmware's model at made:")
    assert not found.assumed


def test_a_model_of_rates_stands_for_the_same_figures(machine):
    """40 W at 2.5 K/s: 16 J/K; 0.4 K/s per 100 K: 0.064 W/K, times 1.85^0.35 = 1.24 at 210 C."""
    rates = {"model_rate_k_s": 2.5, "model_cooling_k_s": 0.4, "model_cooling_exponent": 1.35}
    found = heated_by(machine({(HEATER, name): it for name, it in rates.items()}), HEATER)
    assert figures(found.block)[:2] == pytest.approx((16.0, 0.0794), abs=0.0001)
    older = {"model_gain_k": 500.0, "model_tau_s": 200.0, "model_dead_time_s": 5.0}
    found = heated_by(machine({(HEATER, name): it for name, it in older.items()}), HEATER)
    assert figures(found.block)[:2] == pytest.approx((16.0, 0.08))


def test_what_the_part_fan_adds_to_a_rate_is_measured_too(scripts):
    """K0.36:0.12 at 2.4 K/s of 40 W: 40 / 2.4 = 16.67 J/K, 16.67 x 0.12 / 100 = 0.02 W/K more."""
    result = scripts()
    case = Case(result.claims, result.trace, result.assembly)
    heated = heated_by(case, HEATER)
    assert heated.block.fan_loss_w_k == pytest.approx(0.02)
    assert not heated.fan_assumed
    alone = scripts(("K0.36:0.12", "K0.36"))
    assert heated_by(Case(alone.claims, alone.trace, alone.assembly), HEATER).fan_assumed


@pytest.mark.parametrize(
    "shipped",
    [
        {"heat_capacity_j_k": 16.7, "loss_w_k": 0.068},
        {"model_gain_k": 340.0, "model_tau_s": 140.0, "model_dead_time_s": 5.5},
        {"heat_capacity_j_k": 16.5},
        {"loss_w_k": 0.068},
    ],
)
def test_constants_as_shipped_and_halves_are_no_measurement(machine, shipped):
    found = heated_by(machine({(HEATER, name): it for name, it in shipped.items()}), HEATER)
    assert (found.origin, found.assumed, found.fan_assumed) == ("part block-marsh", False, False)
    assert figures(found.block) == (12.0, 0.12, 0.05)


def test_a_block_without_figures_is_anything_that_was_published(machine):
    found = heated_by(machine(wiring=NO_BLOCK), HEATER)
    assert (found.block, found.assumed) == (ThermalBlock(), True)
    assert figures(found.light) == (8.0, 0.04, 0.05)
    assert figures(found.heavy) == (20.0, 0.15, 0.05)


def test_one_figure_alone_narrows_the_band(machine):
    """A weighed block of 15 J/K loses 0.04 to 0.15 W/K all the same."""
    case = machine()
    fit = case.trace.find("hotend.block")
    part = evolve(fit.part, heat_capacity_j_k=15.0, loss_w_k=None, tolerance_pct=4.0)
    weighed = tuple(evolve(w, part=part) if w is fit else w for w in case.trace.wired)
    found = heated_by(evolve(case, trace=evolve(case.trace, wired=weighed)), HEATER)
    assert found.assumed
    assert figures(found.light)[:2] == pytest.approx((14.4, 0.04))
    assert figures(found.heavy)[:2] == pytest.approx((15.6, 0.15))


def test_a_plate_without_figures_goes_by_the_power_it_was_made_for(machine):
    """200 W warm it by 0.1 to 1 K/s: 200 to 2000 J/K."""
    found = heated_by(machine(wiring=(("marsh-230-c.toml", PLATE_FIT, ""),)), "bed.heater")
    assert (found.block, found.assumed) == (PLATE, True)
    assert figures(found.light)[:2] == pytest.approx((200.0, 0.5))
    assert figures(found.heavy)[:2] == pytest.approx((2000.0, 3.3))


@pytest.mark.parametrize(
    ("capacity", "wild"), [(6.3, True), (6.5, False), (39.0, False), (41, True)]
)
def test_a_model_of_no_block_there_is_counts_for_nothing(machine, capacity, wild):
    """Below 0.8 x 8 J/K or above 2 x 20 J/K."""
    case = machine({**MODEL, (HEATER, "heat_capacity_j_k"): float(capacity)})
    assert bool(wild_model(case, HEATER)) is wild
    assert heated_by(case, HEATER).origin.startswith("part" if wild else "the firmware's model")

"""The faults that a protection is there for, and what comes of each."""

from pincheck.model.role import split
from pincheck.physics.protection import (
    Outcome,
    Protection,
    heater_loose,
    sensor_falls_out,
    sensor_out_cold,
)
from pincheck.physics.thermal import Block
from pincheck.rules.protection.scene import Scene

SPENT_TAUS = 5.0
"""After so many time constants a block has lost 99 % of its heat: no reading says more then."""


def fallen_out(found: Scene, protection: Protection) -> Outcome:
    """Return what happens when the sensor falls out in an ordinary print."""
    watts = found.heater.power_w
    return sensor_falls_out(found.block, watts, found.at_c, protection, found.ambient_c)


def out_at_warm_up(found: Scene, protection: Protection, block: Block | None = None) -> Outcome:
    """Return what happens when a warm-up starts with the sensor outside the block."""
    watts = found.heater.power_w
    return sensor_out_cold(block or found.block, watts, found.at_c, protection, found.ambient_c)


def loose(found: Scene, protection: Protection) -> Outcome:
    """Return what happens when the heater leaves what it heats in an ordinary print."""
    watts = found.heater.power_w
    return heater_loose(found.block, watts, found.at_c, protection, found.ambient_c)


def in_the_open(found: Scene) -> str:
    """Return what a loose heater does: a cartridge has next to no surface to cool it."""
    hotend = split(found.wired.role)[0] == "hotend"
    return f"{'glows' if hotend else 'overheats'} in the open"


def hottest_c(answer: Outcome) -> float:
    """Return how hot the block gets: at the cut, or where it settles without one."""
    return answer.peak_c if answer.block_c_at_cut is None else answer.block_c_at_cut


def unnoticed(found: Scene, answer: Outcome) -> bool:
    """Return whether a loose heater is cut never, or only when there is nothing left to notice."""
    return answer.cut_after_s is None or answer.cut_after_s > SPENT_TAUS * found.block.tau_s

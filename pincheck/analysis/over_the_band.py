"""Whether something holds for every block that may be fitted, for none, or on what it depends."""

from collections.abc import Callable

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.heater_scene import Scene

Holds = Callable[[Scene], bool]

_STEPS = 10

MEASURE = "let the firmware measure its heater model, or state heat_capacity_j_k and loss_w_k"
"""What settles it."""


def over_the_band(
    found: Scene, holds: Holds, ends: tuple[Scene, Scene] | None = None
) -> bool | str:
    """Return whether `holds` is true over the whole band, over none of it, else what decides.

    Figures that somebody gave are to hold with their tolerance, and fail by themselves. `holds`
    changes once at most between the `ends`, of which the quickest and the slowest are usual.
    """
    scenes = ends or (found.quick, found.slow)
    held = [holds(scene) for scene in scenes]
    if all(held):
        return True
    if not found.heated.assumed:
        narrow = f"holds with the figures of {found.heated.origin}, but not within their tolerance"
        return narrow if holds(found) else False
    if not any(held):
        return False
    return _decisive(holds, *sorted(scenes, key=holds))


def _decisive(holds: Holds, bad: Scene, good: Scene) -> str:
    """Return from which heat capacity on it holds, at the least and the most heat loss."""
    lighter = good.block.heat_capacity_j_k < bad.block.heat_capacity_j_k
    side, what = "below" if lighter else "above", roles.heated(bad.wired.role)
    said = []
    for scene in (good, bad):

        def at(capacity: float, scene: Scene = scene) -> bool:
            return holds(scene.of(evolve(scene.block, heat_capacity_j_k=capacity)))

        capacities = bad.block.heat_capacity_j_k, good.block.heat_capacity_j_k
        if at(capacities[0]) or not at(capacities[1]):
            where = f"for {'any' if at(capacities[0]) else 'no'} heat capacity"
        else:
            where = f"{side} {_edge(at, *capacities):.3g} J/K"
        said.append(f"{where} at {scene.block.loss_w_k:.2g} W/K")
    return f"it depends on the {what}, which nobody measured: holds {' and '.join(said)}; {MEASURE}"


def _edge(at: Callable[[float], bool], bad: float, good: float) -> float:
    """Return where it begins to hold on the way from bad to good."""
    for _ in range(_STEPS):
        middle = (bad + good) / 2
        bad, good = (bad, middle) if at(middle) else (middle, good)
    return good

"""Conductances between nodes, and the voltages that sources make in them."""

import heapq
from collections.abc import Iterable, Mapping

from pincheck.circuit.network import Element, Key

_LEAST_OHM = 1e-6
"""What no resistance is taken to be below, so that a joint of none has a current."""

_Step = tuple[int, float, tuple[tuple[int, float], ...]]
"""A node taken out, the sum of its conductances, and each of them with the node at its end."""


class Mesh:
    """Conductances between nodes, each node taken out in turn by star-mesh transformation.

    The node with the fewest neighbours goes first. Only sums and products of positive numbers
    occur, so nothing cancels, and every voltage is as exact as its sources. What is left over of a
    part that no reference holds, its star if it has one, is counted as 0 V.
    """

    def __init__(self, size: int, stars: frozenset[int]) -> None:
        self.rows: list[dict[int, float]] = [{} for _ in range(size)]
        self.into = [0.0] * size
        """Amperes that sources drive into each node."""
        self.live: dict[Key, float] = {}
        """Conductance of every element that is closed."""
        self.steps: list[_Step] = []
        self.stars = stars

    def copy(self) -> "Mesh":
        """Return a mesh that can go on from here while this one stays."""
        other = Mesh(0, self.stars)
        other.rows = [row.copy() for row in self.rows]
        other.into, other.live, other.steps = self.into.copy(), self.live.copy(), self.steps.copy()
        return other

    def add(self, element: Element, one: int, two: int, ohm: float) -> None:
        """Put an element between two nodes that are still there."""
        if one == two:
            return
        g = 1.0 / max(ohm, _LEAST_OHM)
        rows = self.rows
        rows[one][two] = rows[two][one] = rows[one].get(two, 0.0) + g
        if element.emf_v:
            self.into[one] -= g * element.emf_v
            self.into[two] += g * element.emf_v
        self.live[element.key] = g

    def take_out(self, nodes: Iterable[int]) -> None:
        """Take out these nodes, those with a star after all others."""
        rows, steps = self.rows, self.steps
        late = {star: len(rows) for star in self.stars}
        waiting = [(len(rows[node]) + late.get(node, 0), node) for node in nodes]
        going = {node for _, node in waiting}
        heapq.heapify(waiting)
        while waiting:
            rank, node = heapq.heappop(waiting)
            row = rows[node]
            if node not in going or rank != len(row) + late.get(node, 0):
                continue  # an older entry of it
            going.remove(node)
            total = sum(row.values())
            ends = tuple(row.items())
            rows[node] = {}
            for end, _ in ends:
                del rows[end][node]
            for number, (one, g_one) in enumerate(ends):
                for two, g_two in ends[number + 1 :]:
                    meshed = rows[one].get(two, 0.0) + g_one * g_two / total
                    rows[one][two] = rows[two][one] = meshed
            for end, g in ends:
                self.into[end] += self.into[node] * g / total
                if end in going:
                    heapq.heappush(waiting, (len(rows[end]) + late.get(end, 0), end))
            steps.append((node, total, ends))

    def volts(self, amperes: Mapping[int, float] | None = None) -> list[float]:
        """Return the voltage of each node: of the sources, or of these currents instead."""
        into = self.into
        if amperes is not None:
            into = [0.0] * len(self.rows)
            for node, current in amperes.items():
                into[node] += current
            for node, total, ends in self.steps:
                if into[node]:
                    for end, g in ends:
                        into[end] += into[node] * g / total
        volts = [0.0] * len(into)
        for node, total, ends in reversed(self.steps):
            if ends:
                current = into[node]
                for end, g in ends:
                    current += g * volts[end]
                volts[node] = current / total
        return volts

"""An assembly's copper as a circuit: built, solved in each state, read.

`build(assembly)` gives a `Network` of `Node`s and `Element`s, `circuit(assembly)` the `Circuit` of
it, kept while the assembly is the same object. `Circuit.solve(state)` gives a `Solution` with the
volts of every node and the amperes of every element and of whatever a current passes in it
(`Carrier`: contact, wire, track, fuse, switch). A `State` says what is closed, opened or of another
resistance; `states` makes the usual ones.
"""

from functools import lru_cache

from pincheck.circuit.assembly import build
from pincheck.circuit.network import Band, Carrier, Element, Network, Node
from pincheck.circuit.solve import AT_REST, Circuit, Solution, State, UnsolvedError
from pincheck.model.wiring import Assembly, Itself

__all__ = [
    "AT_REST",
    "Band",
    "Carrier",
    "Circuit",
    "Element",
    "Network",
    "Node",
    "Solution",
    "State",
    "UnsolvedError",
    "build",
    "circuit",
]


def circuit(assembly: Assembly) -> Circuit:
    """Return the circuit of an assembly; the same one is built once, however often asked."""
    return _built(Itself(assembly))


@lru_cache(maxsize=8)
def _built(of: Itself) -> Circuit:
    return Circuit(build(of.assembly))

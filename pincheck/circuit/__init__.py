"""An assembly's copper as a circuit: built, solved in each state, read.

`build(assembly)` gives a `Network` of `Node`s and `Element`s; `Circuit(network).solve(state)` a
`Solution` with the volts of every node and the amperes of every element and of whatever a current
passes in it (`Carrier`: contact, wire, track, fuse). A `State` says what is closed, opened or of
another resistance; `states` makes the usual ones.
"""

from pincheck.circuit.assembly import build
from pincheck.circuit.network import Band, Carrier, Element, Network, Node
from pincheck.circuit.solve import AT_REST, Circuit, Solution, State, UnsolvedError

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
]

"""The states that a machine is judged in."""

from attrs import evolve

from pincheck.circuit.network import Key, Network
from pincheck.circuit.solve import State


def loads(network: Network, *switches: Key) -> State:
    """Return the state with these switches closed, and with them all that closes them."""
    closed = frozenset[Key]().union(*(network.chains[switch] for switch in switches))
    return State(", ".join(f"{key[2]} of {key[1]} on" for key in switches), closed)


def all_loads(network: Network) -> State:
    """Return the state with every switch closed."""
    return evolve(loads(network, *network.chains), name="all loads on")


def running(network: Network) -> State:
    """Return the state with every load on and every motor turning."""
    state = all_loads(network)
    motors = {element.key for element in network.of_kind("driver")}
    return evolve(state, name="everything on", closed=state.closed | motors)

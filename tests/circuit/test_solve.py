"""Voltages and currents of small networks, by hand and against published solvers."""

import random
import shutil
import subprocess

import numpy as np
import pytest
from scipy.linalg import solve

from pincheck.circuit import Band, Circuit, Element, Network, Node, State
from pincheck.circuit.bands import current_band
from pincheck.circuit.network import exactly

STAR = Node("star", "b")


def node(number):
    return Node("net", "b", str(number)) if number else STAR


def resistor(name, one, two, ohm, **more):
    band = ohm if isinstance(ohm, Band) else exactly(ohm)
    return Element((name,), more.pop("kind", "part"), node(one), node(two), band, **more)


def circuit(*elements, chains=None):
    return Circuit(Network({it.key: it for it in elements}, (STAR,), chains or {}))


def battery(volts, ohm=1e-6):
    return resistor("battery", 0, 1, ohm, kind="supply", emf_v=volts)


def drawn_at_random(seed):
    """Return nodes and resistances of a connected network, over six decades."""
    draw = random.Random(seed)
    size = draw.randint(3, 60)
    edges = [(draw.randrange(n), n) for n in range(1, size)]
    edges += [tuple(draw.sample(range(size), 2)) for _ in range(size)]
    return size, [(one, two, 10 ** draw.uniform(-3, 3)) for one, two in edges]


@pytest.mark.parametrize("seed", range(12))
def test_voltages_are_those_of_a_dense_solution(seed):
    """Kirchhoff's current law at every node as one dense system (scipy.linalg.solve)."""
    size, edges = drawn_at_random(seed)
    found = circuit(
        battery(24.0, 0.5),
        *(resistor(n, one, two, ohm) for n, (one, two, ohm) in enumerate(edges)),
    ).solve()
    matrix, into = np.zeros((size, size)), np.zeros(size)
    for one, two, ohm in [*edges, (0, 1, 0.5)]:
        for here, there in ((one, two), (two, one)):
            matrix[here, here] += 1 / ohm
            matrix[here, there] -= 1 / ohm
    into[1] = 24.0 / 0.5
    dense = solve(matrix[1:, 1:], into[1:])
    assert [found.volts(node(n)) for n in range(1, size)] == pytest.approx(list(dense), rel=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_resistance_between_nodes_is_the_distance_of_a_published_library(seed):
    networkx = pytest.importorskip("networkx")
    size, edges = drawn_at_random(seed)
    found = circuit(*(resistor(n, *edge) for n, edge in enumerate(edges))).solve()
    graph = networkx.MultiGraph()
    graph.add_weighted_edges_from(edges, weight="ohm")
    for one, two in ((0, size - 1), (1, size // 2), (size - 2, 1)):
        wanted = networkx.resistance_distance(graph, one, two, "ohm", invert_weight=True)
        assert found.between_ohm(node(one), node(two)) == pytest.approx(wanted, rel=1e-9, abs=1e-12)


def test_a_bridge_by_hand():
    """Balanced: 1 k / 2 k on both sides, so nothing flows through the 47 ohm between them."""
    found = circuit(
        battery(9.0),
        resistor("a", 1, 2, 1000.0),
        resistor("b", 2, 0, 2000.0),
        resistor("c", 1, 3, 1000.0),
        resistor("d", 3, 0, 2000.0),
        resistor("e", 2, 3, 47.0),
    ).solve()
    assert found.volts(node(2)) == pytest.approx(6.0)
    assert found.current_a(("e",)) == pytest.approx(0.0, abs=1e-12)


def test_what_nothing_holds_floats_and_is_named():
    made = circuit(battery(5.0), resistor("load", 1, 0, 10.0), resistor("loose", 2, 3, 1.0))
    found = made.solve()
    assert found.floating == {node(2), node(3)}
    assert found.volts(node(2)) is None
    assert found.between_ohm(node(2), node(0)) is None
    assert found.between_ohm(node(2), node(3)) == pytest.approx(1.0)
    opened = made.solve(State("cut", opened=frozenset({("load",)})))
    assert opened.current_a(("load",)) == 0.0


def test_ends_over_what_is_assumed():
    """24 V on 10 ohm behind 0 to 2 ohm: 24 / 10 = 2.4 A down to 24 / 12 = 2.0 A; what is stated
    stays. Of two in parallel the share of one is most when it has least and the other most."""
    one = Band(0.0, 1.0, 2.0, "a contact")
    made = circuit(battery(24.0), resistor("way", 1, 2, one), resistor("load", 2, 0, 10.0))
    band = current_band(made.solve(), ("load",))
    assert (band.low, band.high) == (pytest.approx(2.0, rel=1e-5), pytest.approx(2.4, rel=1e-5))
    contact = Band(0.01, 0.02, 0.03, "a contact")
    shared = circuit(
        battery(12.0),
        resistor("x", 1, 2, contact),
        resistor("y", 1, 2, contact),
        resistor("load", 2, 0, 5.9925),
    )
    share = current_band(shared.solve(), ("x",))
    # 10 beside 30 mohm are 7.5 mohm: 12 / 6 = 2 A, of which 3/4 takes the better one, 1/4 the worse
    assert (share.low, share.high) == (pytest.approx(0.5, rel=1e-4), pytest.approx(1.5, rel=1e-4))


def test_an_electronic_load_lies_between_resistor_and_constant_current():
    """A 12 V 0.1 A fan on 24 V: 120 ohm take 0.2 A, a constant current 0.1 A."""
    fan = resistor("fan", 1, 0, 120.0, rated_a=0.1)
    band = current_band(circuit(battery(24.0), fan).solve(), ("fan",))
    assert (band.low, band.nominal, band.high) == pytest.approx((0.1, 0.2, 0.2), rel=1e-5)


def clamped(pull_ohm=4700.0):
    """A pull-up to 24 V on a pin whose diode leads to 3.3 V, 0.6 V and 10 ohm."""
    return circuit(
        battery(24.0),
        resistor("pull", 1, 2, pull_ohm),
        resistor("over", 2, 3, 10.0, kind="diode", emf_v=-0.6),
        resistor("under", 0, 2, 10.0, kind="diode", emf_v=-0.6),
        resistor("logic", 0, 3, 1e-4, kind="supply", emf_v=3.3),
    ).solve()


def test_a_clamp_diode_takes_what_the_pull_up_gives():
    """(24 - 3.3 - 0.6) V / (4700 + 10) ohm = 4.27 mA; the lower diode blocks."""
    found = clamped()
    assert 1000 * found.current_a(("over",)) == pytest.approx(20.1 / 4.710, rel=1e-5)
    assert found.current_a(("under",)) == 0.0


def test_many_diodes_settle():
    """A ladder of diodes, each towards the next lower step: all conduct, none backwards."""
    steps = [resistor(f"d{n}", n, n + 1, 1.0, kind="diode", emf_v=-0.7) for n in range(1, 20)]
    loads = [resistor(f"r{n}", n, 0, 100.0) for n in range(2, 21)]
    found = circuit(battery(24.0), *steps, *loads).solve()
    currents = [found.current_a(step.key) for step in steps]
    assert currents == sorted(currents, reverse=True)
    assert currents[0] == pytest.approx(sum(found.current_a(load.key) for load in loads))


@pytest.mark.skipif(not shutil.which("ngspice"), reason="ngspice is not installed")
def test_diodes_as_a_circuit_simulator_has_them(tmp_path):
    """The clamp, with a silicon diode of the simulator's own: the same current within 1 %."""
    deck = tmp_path / "clamp.cir"
    deck.write_text(
        "clamp\nV1 1 0 24\nV2 3 0 3.3\nR1 1 2 4700\nD1 2 4 dd\nRd 4 5 10\nVm 5 3 0\n"
        ".model dd d(is=1e-14)\n.op\n.print dc i(Vm)\n.end\n"
    )
    done = subprocess.run(["ngspice", "-b", str(deck)], capture_output=True, text=True, check=True)
    line = next(line for line in done.stdout.splitlines() if line.strip().startswith("vm#branch"))
    assert clamped().current_a(("over",)) == pytest.approx(float(line.split()[1]), rel=0.01)

"""The demo's network, and what each new key of the wiring changes in it."""

import pytest

from pincheck import api
from pincheck.circuit import AT_REST, Circuit, build, states
from pincheck.model.problem import UnreadableError


def solved(assembly, *switches):
    network = build(assembly)
    made = Circuit(network)
    return made.solve(states.loads(network, *(("switch", "main", name) for name in switches)))


def test_the_heater_of_the_demo(rewired):
    """14.4 ohm on 24 V. On its way: 4 wires of 0.6 m 26 AWG in parallel and 2 for the return, each
    0.08034 ohm + 2 x 10 mohm; at the heater 2 x (0.15 m 20 AWG = 5 mohm + 10); four halves of
    tracks: 5 mohm each at main 24V, at tool 24V twice and HEAT twice, main HEAT0 with its switch
    twice; the switch 6 mohm x 1.5. 0.10034 x 3 / 4 + 0.030 + 0.035 + 0.009 = 0.1493 ohm:
    24 / 14.5493 = 1.6496 A."""
    found = solved(rewired(), "HEAT0")
    assert found.current_a(("part", "hotend_heater")) == pytest.approx(1.6496, abs=0.0005)
    wires = {key: abs(found.current_a(("conductor", 0, (key, key)))) for key in (1, 2, 3, 4, 5, 6)}
    # a little more than the heater's fourth passes each supply wire: nothing else is on
    assert wires[3] == pytest.approx(1.6496 / 2, abs=0.001)
    assert wires[1] == pytest.approx(1.6496 / 4, abs=0.001)


def test_nothing_flows_at_rest_but_what_is_always_on(rewired):
    found = Circuit(build(rewired())).solve(AT_REST)
    assert found.current_a(("part", "hotend_heater")) == pytest.approx(0.0, abs=1e-12)
    # 5 V over 5 V / 0.3 A and its way: the probe is fed whenever the machine is on
    assert found.current_a(("part", "probe")) == pytest.approx(0.296, abs=0.001)


def test_motors_run_through_their_own_coils(rewired):
    network = build(rewired())
    found = Circuit(network).solve(states.running(network))
    # the driver regulates its motor's current, whatever the wires are
    assert found.current_a(("part", "extruder_motor", 0)) == pytest.approx(1.0, rel=0.01)
    assert found.current_a(("part", "x_motor", 1)) == pytest.approx(1.5, rel=0.01)


def smart(rewired, *replaced):
    return rewired(*replaced, assembly="marsh-230-curlew.toml")


CABLE = 'wiring = "straight"\nwire = { awg = 18, length_m = 0.8 }'


@pytest.mark.parametrize("pairs", ["[[1, 1], [2, 2]]", "[[3, 3], [4, 4]]"])
def test_a_lead_without_ground_or_supply_leaves_the_board_dead(rewired, pairs):
    cut = smart(rewired, ("marsh-230-curlew.toml", CABLE, f"wiring = {pairs}"))
    network = build(cut)
    found = Circuit(network).solve(states.loads(network, ("switch", "tool", "HEAT")))
    assert found.current_a(("part", "hotend_heater")) == pytest.approx(0.0, abs=1e-9)
    assert not network.unfed


WHOLE = '[[cables]]\nfrom = "main.tool_power"\nto = "tool.power"\n' + CABLE
GONE = ("marsh-230-curlew.toml", WHOLE, "")


def test_a_board_without_a_lead_is_fed_by_nothing(rewired):
    assert build(smart(rewired, GONE)).unfed["tool"].startswith("no cable brings a supply")


def test_a_board_with_a_supply_of_its_own_says_so(rewired):
    said = ("marsh-230-curlew.toml", "ambient_c = 25", 'ambient_c = 25\nsupplied = ["tool"]')
    network = build(smart(rewired, GONE, said))
    assert not network.unfed
    found = Circuit(network).solve(states.all_loads(network))
    assert found.current_a(("part", "hotend_heater")) == pytest.approx(1.66, abs=0.01)


def test_a_smart_board_draws_through_its_lead(rewired):
    network = build(smart(rewired))
    found = Circuit(network).solve(states.all_loads(network))
    lead = sum(abs(found.current_a(("conductor", 0, (pin, pin)))) for pin in (1, 2))
    back = sum(abs(found.current_a(("conductor", 0, (pin, pin)))) for pin in (3, 4))
    # heater, three fans, and the converters that feed the probe and the chip
    assert lead == pytest.approx(1.65 + 0.1 + 0.6 + 0.075, abs=0.02)
    assert back == pytest.approx(lead, abs=1e-6)


def test_grounds_of_a_breakout_meet_where_they_say_so(rewired):
    """The sensor's ground wire alone, or in parallel with the two of GND."""
    apart = Circuit(build(api.load_wiring(api.demo("marsh-230-c.toml"))))
    net = '[nets.AGND]\njoined_to = "GND"\n[nets.HEAT]'
    joined = Circuit(build(rewired(("boards/lapwing-c.toml", "[nets.HEAT]", net))))
    ohms = []
    for made in (apart, joined):
        pad = next(n for n in made.network.nodes if n.kind == "pad" and n.of == "thermistor"
                   and n.name == "AGND")  # fmt: skip
        ohms.append(made.solve().between_ohm(pad, made.network.stars[0]))
    # 5 mohm at the socket + 5 at the link + 0.1003 + 5 at main; with GND a third of the wire
    assert ohms[0] == pytest.approx(0.1153, abs=0.0005)
    assert ohms[1] < 0.06


@pytest.mark.parametrize(
    ("net", "says"),
    [
        ('[nets.AGND]\njoined_to = "GDN"', "'GDN' is no other ground of this board"),
        ('[nets.HEAT]\njoined_to = "GND"', "'HEAT' is no ground"),
    ],
)
def test_what_joined_to_may_not_say(rewired, net, says):
    with pytest.raises(UnreadableError) as caught:
        rewired(("boards/lapwing-c.toml", "[nets.HEAT]", net))
    assert any(says in str(problem) for problem in caught.value.problems), caught.value


def test_a_track_of_stated_length(rewired):
    """2.5 mm of 2 oz are 2.5 x 0.07 = 0.175 mm2: 80 mm are 0.08 / 58 / 0.175 = 7.88 mohm."""
    track = "[nets.HEAT]\ntrack = { width_mm = 2.5"
    network = build(rewired(("boards/lapwing-c.toml", track, f"{track}, length_mm = 80")))
    half = network.elements["track", "tool", "HEAT", "link"].ohm
    assert 2 * half.nominal == pytest.approx(0.00788, abs=1e-5)
    assert not half.assumed


def test_a_supply_that_is_on_no_connector_is_not_taken_for_the_5_v_that_is(tmp_path):
    """24 V inside the board makes 5 V: 0.5 A of a strip is 2.5 W, 0.116 A of 24 V at 90 %."""
    files = {
        "main.toml": '[board]\nname = "Smew"\nchip = "stm32f401rct6"\nsupply_v = 24\n'
        '[connectors]\nout = { pins = ["5V", "GND"] }\n',
        "parts.toml": '[strip]\nkind = "output"\nterminals = ["supply", "ground"]\n'
        "rated_v = 5.0\ncurrent_a = 0.5\n",
        "a.toml": '[assembly]\nname = "Smew"\nparts = ["parts.toml"]\n'
        '[boards]\nmain = "main.toml"\n'
        '[fit]\ns = { role = "aux.output", at = "main.out", part = "strip" }\n',
    }
    for name, text in files.items():
        (tmp_path / name).write_text(text)
    made = Circuit(build(api.load_wiring(tmp_path / "a.toml")))
    found = made.solve()
    assert found.across_v(made.network.elements["part", "s"]) == pytest.approx(5.0, abs=0.05)
    assert found.current_a(("draws", "main", "5V")) == pytest.approx(0.116, abs=0.002)
    assert made.network.elements["supply", "main", "24 V"].emf_v == 24.0

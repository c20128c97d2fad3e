"""The order of a plug's pins that does least when the plug goes on wrong."""

from itertools import permutations

import pytest

from pincheck import api
from pincheck.analysis.mating.survey import survey
from pincheck.maker import pin_order_text
from pincheck.maker.pin_cost import CannotOrderError, weight
from pincheck.maker.pin_order import pin_order, reordered
from pincheck.model import limits
from pincheck.wiring.plugs import cells

MAIN = """
[board]
name = "Bittern"
chip = "stm32f401rct6"
supply_v = 24
supply_max_a = 10
[nets.HEAT]
chip_pin = "PC8"
switch = { side = "low", max_a = 8, rds_on_mohm = 10 }
[nets.TH]
chip_pin = "PC5"
pullup = { ohm = 4700, to_v = 3.3 }
[drivers.E]
step_pin = "PB3"
coils = ["E_1A", "E_1B", "E_2A", "E_2B"]
"""
TOOL = """
[board]
name = "Snipe"
[connectors.heat]
pins = ["24V", "HEAT"]
[connectors.th]
pins = ["TH", "AGND"]
[connectors.e]
pins = ["E_1A", "E_1B", "E_2A", "E_2B"]
"""
FITS = {
    "heat": ("hotend.heater", "heater-24v-40w"),
    "th": ("hotend.sensor", "ntc-100k-104gt-2"),
    "e": ("extruder.motor", "motor-1a0"),
}


def ribbon(folder, *pins, rows=1, wiring='"straight"'):
    """Return a machine whose tool head hangs on one cable of these nets."""
    listed = ", ".join(f'"{pin}"' for pin in pins)
    plug = f"pitch_mm = 2.54\nrows = {rows}\nkeyed = false\ncontact_a = 3\npins = [{listed}]\n"
    tool = TOOL
    if not any(pin.startswith("E_") for pin in pins):
        tool = TOOL[: TOOL.index("[connectors.e]")]
    main = MAIN if tool == TOOL else MAIN[: MAIN.index("[drivers.E]")]
    (folder / "main.toml").write_text(f"{main}[connectors.out]\n{plug}")
    (folder / "tool.toml").write_text(f"{tool}[connectors.in]\n{plug}")
    fits = "".join(
        f'[fit.{at}]\nrole = "{role}"\nat = "tool.{at}"\npart = "{part}"\n'
        for at, (role, part) in FITS.items()
        if f"connectors.{at}]" in tool
    )
    file = folder / "m.toml"
    file.write_text(
        '[assembly]\nname = "M"\n[boards]\nmain = "main.toml"\ntool = "tool.toml"\n[[cables]]\n'
        f'from = "main.out"\nto = "tool.in"\nwiring = {wiring}\n{fits}'
    )
    return api.load_wiring(file)


def cost(assembly, key=("main", "out")):
    """Return what the worst mating of a plug costs, and all of them, solved in full."""
    found = survey(assembly, lambda it: it.connector == key and it.kind != "swapped").found
    costs = [weight(it.harms) for it in found]
    return max(costs), sum(costs)


def test_it_is_the_best_of_all_orders_solved_one_by_one(tmp_path):
    """24 orders of four pins, each solved in full: none is less harmful."""
    it = ribbon(tmp_path, "24V", "TH", "HEAT", "AGND")
    found = pin_order(it, ("main", "out"))
    assert found.exact
    assert found.orders == 24
    every = {order: cost(reordered(it, ("main", "out"), order)) for order in permutations(range(4))}
    assert found.costs[0] == every[0, 1, 2, 3]
    assert found.costs[1] == min(every.values())


def test_supply_and_switch_move_away_from_the_sensor_by_themselves(tmp_path):
    """No rule says so. Moved by one pin, today's plug puts 24 V on the closed switch of the heater,
    and through its 14.4 ohm and the pin's 10 on PC5: (24 - 3.9) V / 24.5 ohm = 0.82 A."""
    found = pin_order(ribbon(tmp_path, "24V", "24V", "HEAT", "TH", "AGND"), ("main", "out"))
    assert found.orders == 60  # 5! / 2
    today, better = ({harm.text for it in each.found for harm in it.harms if harm.kind == "burns"}
                     for each in (found.today, found.proposed))  # fmt: skip
    assert any(text.startswith("24V of Bittern is shorted") for text in today)
    assert not better
    texts = [harm.text for it in found.today.found for harm in it.harms]
    assert "PC5 of Bittern gets 815 mA through its protection diode, good for 5 mA" in texts
    assert found.costs[1] < found.costs[0]


def test_another_order_is_the_same_machine(tmp_path):
    """Every role reaches the same chip pin; both boards' plugs are changed alike."""
    it = ribbon(tmp_path, "24V", "TH", "HEAT", "AGND")
    other = reordered(it, ("tool", "in"), (3, 0, 2, 1))
    assert other.boards["main"].connectors["out"].pins == ("AGND", "24V", "HEAT", "TH")
    assert other.boards["tool"].connectors["in"].pins == ("AGND", "24V", "HEAT", "TH")
    homes = [{w.role: w.place for w in api.trace(each).wired} for each in (it, other)]
    assert homes[0] == homes[1]


def test_beyond_eight_pins_the_search_is_bounded_and_keeps_pairs_together(tmp_path, monkeypatch):
    """The same order each time, never worse than today's, coils and shares side by side."""
    monkeypatch.setattr(limits, "PIN_ORDERS", 1500)
    pins = ("TH", "AGND", "HEAT", "HEAT", "24V", "24V", "E_1A", "E_1B", "E_2A", "E_2B")
    it = ribbon(tmp_path, *pins)
    found = pin_order(it, ("main", "out"))
    assert not found.exact
    assert found.orders < 1600
    assert found.costs[1] < found.costs[0] == cost(it)
    assert sorted(found.better) == sorted(pins)
    at = cells(it.boards["main"].connectors["out"])

    def beside(one, two):
        where = {net: [at[n] for n, pin in enumerate(found.better) if pin == net] for net in pins}
        return any(abs(a[0] - b[0]) + abs(a[1] - b[1]) == 1 for a in where[one] for b in where[two])

    for pair in (("24V", "24V"), ("E_1A", "E_1B"), ("E_2A", "E_2B"), ("TH", "AGND")):
        assert beside(*pair), pair
    text = "\n".join(pin_order_text.lines(found))
    assert f"today: worst mating {found.costs[0][0]}" in text
    assert f"proposed: worst mating {found.costs[1][0]}" in text


def test_what_cannot_be_ordered_says_why(tmp_path, monkeypatch):
    """A cable that crosses wires has no one order; an empty connector has nothing to order."""
    crossed = ribbon(tmp_path, "24V", "TH", "HEAT", "AGND", wiring='"mirrored"')
    with pytest.raises(CannotOrderError, match="not straight"):
        pin_order(crossed, ("main", "out"))
    demo = api.load_wiring(api.demo("marsh-230-c.toml"))
    with pytest.raises(CannotOrderError, match=r"nothing is in main\.stop_z"):
        pin_order(demo, ("main", "stop_z"))
    monkeypatch.setattr(limits, "PIN_COSTS", 10)
    with pytest.raises(CannotOrderError, match="too many to solve"):
        pin_order(demo, ("main", "toolhead"))

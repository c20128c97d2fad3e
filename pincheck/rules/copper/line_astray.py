"""A wire that a board listens on leads nowhere, or to another one.

A board with a chip or an amplifier of its own does what it hears. With a wire of its serial line or
bus missing or crossed nothing arrives, and firmware stops at its start; a relay whose input gets
nothing, or gets it the wrong way round, stays open.
"""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.relay_input import relay_lacks
from pincheck.model.finding import Fact, Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.pins.second_chip import spare_fan
from pincheck.rules.rule import Outcomes, Replacement, example, rule
from pincheck.wiring.copper import Copper, NetKey

_MEETS = {"tx": "rx", "rx": "tx"}
_RELAY = ("plus", "minus")


def _serial(one: str, other: str) -> tuple[Replacement, ...]:
    """Return the demo with a smart board on a serial line, named so at the main board's plug."""
    power, nets = '"24V", "24V", "GND", "GND"', "[nets.24V]\ntrack"
    lines = '[nets.TXD]\nchip_pin = "{}"\nline = "tx"\n[nets.RXD]\nchip_pin = "{}"\nline = "rx"\n'
    return (
        *spare_fan("gpio4"),
        ("boards/curlew-1.toml", f"rows = 2\nkeyed = true\ncontact_a = 8.0\npins = [{power}]",
         'rows = 2\nkeyed = true\ncontact_a = 8.0\npins = ["24V", "TXD", "GND", "RXD"]'),
        ("boards/curlew-1.toml", nets, lines.format("gpio16", "gpio17") + nets),
        ("boards/heron-2.toml", f"[connectors.tool_power]\npitch_mm = 4.2\nrows = 2\nkeyed = true"
         f"\ncontact_a = 8.0\npins = [{power}]",
         lines.format("PA9", "PA10") + "[connectors.tool_power]\npitch_mm = 4.2\nrows = 2\n"
         f'keyed = true\ncontact_a = 8.0\npins = ["24V", "{one}", "GND", "{other}"]'),
    )  # fmt: skip


@rule(
    Severity.DANGER,
    source="common practice",
    fires=example("section", *_serial("TXD", "RXD")),
    quiet=example("section", *_serial("RXD", "TXD")),
)
def line_astray(case: Case) -> Outcomes:
    """Follow each line of each board but the main one, and solve each relay's input."""
    copper = Copper(case.assembly)
    for board, it in case.assembly.boards.items():
        users = [wired for wired in case.trace.wired if _is_on(wired, board)]
        if board == case.assembly.main or not users:
            continue
        for name, net in it.nets.items():
            if net.line and net.line not in _RELAY:
                yield from _line(copper, (board, name), users)
    for wired in case.trace.wired:
        if lack := relay_lacks(case, wired):
            yield Finding(
                severity=Severity.FAULT,
                spots=((wired.role, "supply_v"),),
                message=f"The relay of the {roles.name(wired.role)} {lack}: it never closes.",
                facts=(fact(wired, "supply_v", lack),),
                advice="Leave the power off and compare both wires of the relay's input.",
            )


def _is_on(wired: Wired, board: str) -> bool:
    place, at = wired.place, wired.fit.connector
    return bool((place and place.board == board) or (at and at[0] == board))


def _line(copper: Copper, key: NetKey, users: list[Wired]) -> Iterator[Finding | Unchecked]:
    net, label = copper.net(key), copper.label(key[0])
    node = [it for it in copper.node(key) if it[0] != key[0]]
    wants = _MEETS.get(net.line, net.line)
    named = [f"{name} of {copper.label(board)}" for board, name in node]
    lines = {copper.net(it).line for it in node}
    it, severity, does = (
        f"{key[1]} of {label} ({net.line})",
        Severity.FAULT,
        "nothing arrives there",
    )
    if any(copper.is_rail(other) for other in node):
        wrong, severity = f"is on {named[0]}", Severity.DANGER
        does = "what drives it is destroyed"
    elif not node:
        wrong = "reaches no other board"
    elif lines - {"", wants}:
        wrong = f"meets {named[0]} ({next(iter(lines - {'', wants}))}), not {wants}"
    elif wants not in lines:
        reason = f"nothing says whether {named[0]} is the {wants} that {it} has to meet"
        yield from (Unchecked(wired.role, "pin", reason) for wired in users)
        return
    else:
        return
    yield Finding(
        severity=severity,
        spots=tuple((wired.role, "pin") for wired in users),
        message=f"{it} {wrong}: {does}, and the firmware works nothing on that board.",
        facts=(Fact(users[0].role, "pin", wrong, at=net.at),),
        advice="Compare both ends of the lead, wire by wire.",
    )

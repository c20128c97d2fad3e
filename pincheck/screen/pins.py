"""Connector pins: which ones a finding is about, and what is said of one."""

from collections.abc import Iterable, Iterator

from pincheck.model.claim import Claim, PinValue, Place
from pincheck.model.finding import Finding, Result
from pincheck.model.frozen import frozen
from pincheck.model.path import Path
from pincheck.reports import sentences
from pincheck.screen.page import PageLine, finding_line, labelled, paragraph, text
from pincheck.wiring.copper import Copper, Node


@frozen
class Pin:
    """One pin of one connector, counted from 1."""

    board: str
    connector: str
    number: int


def of_finding(result: Result, finding: Finding) -> frozenset[Pin]:
    """Return every connector pin on the ways that a finding is about.

    Those are the ways of its roles and facts, and the ones that the pins named by its claims
    really lead along.
    """
    trace = result.trace
    ways = [fact.path for fact in finding.facts if fact.path]
    ways += [wired.path for role in finding.roles if (wired := trace.find(role))]
    for claim in finding.claims:
        if place := place_of(claim):
            ways += [wired.path for wired in trace.at(place)]
    return frozenset(pin for way in ways for pin in _on(way))


def _on(way: Path) -> Iterator[Pin]:
    for contact in way.contacts:
        yield from (Pin(contact.board, contact.connector, number) for number in contact.pins)


def place_of(claim: Claim) -> Place | None:
    """Return the chip pin that a claim names, None where it names none."""
    return claim.value.place if isinstance(claim.value, PinValue) else None


def by_pin(result: Result, findings: Iterable[Finding]) -> dict[Pin, list[Finding]]:
    """Return the findings of every pin, the worst first as they come."""
    found: dict[Pin, list[Finding]] = {}
    for finding in findings:
        for pin in of_finding(result, finding):
            found.setdefault(pin, []).append(finding)
    return found


def pin_page(
    result: Result, copper: Copper, pin: Pin, findings: Iterable[Finding], width: int
) -> Iterator[PageLine]:
    """Yield what is said of one pin; each of its findings is a target."""
    board = result.assembly.boards[pin.board]
    connector = board.connectors[pin.connector]
    key = copper.at_pin((pin.board, pin.connector), pin.number)
    rating = f", contact {connector.contact_a:g} A" if connector.contact_a else ""
    named = f"net {key[1]}" if key else "not connected"
    yield text(f" {pin.connector} pin {pin.number} of {board.title}: {named}{rating}", "strong")
    if key is None:
        return
    node = copper.node(key)
    yield from _leads_to(copper, node, width)
    for fit_, terminal in copper.ends(node):
        part = fit_.part
        if fit_.connector == (pin.board, pin.connector) and fit_.pins[terminal] == pin.number:
            said = f"{part.title or part.id}, terminal {part.terminals[terminal]}, {fit_.role}"
            yield from labelled("fitted", said, width)
    # Lines are found by the chip pin, not the role: a wrong line names the pin for another role.
    places = {drive.place for drive in copper.drives(node) if drive.place}
    for claim in result.claims.all:
        if place_of(claim) in places and claim.active:
            said = f"{claim.role} {claim.attribute}: {sentences.firmware_line(claim)}"
            yield from labelled("firmware", said, width)
    for finding in findings:
        yield finding_line(finding, f"{finding.role}: {finding.message}", width)


def _leads_to(copper: Copper, node: Node, width: int) -> Iterator[PageLine]:
    boards = copper.assembly.boards
    drives = list(copper.drives(node))
    for drive in drives:
        if drive.place:
            switch = next((s for key in drive.links if (s := copper.net(key).switch)), None)
            how = f" through a {switch.side}-side switch" if switch else ""
            title = boards[drive.place.board].title
            yield from labelled("leads to", f"chip pin {drive.place.pin} of {title}{how}", width)
        elif drive.driver:
            board, name = drive.driver
            yield from labelled("leads to", f"motor driver {name} of {boards[board].title}", width)
    for key in copper.feeds(node):
        volts = copper.net(key).supply_v
        rail = "ground" if volts == 0 else f"rail of {volts:g} V"
        yield from labelled("leads to", f"{rail}, {key[1]} of {boards[key[0]].title}", width)
    if not drives and not copper.feeds(node):
        yield from paragraph("It leads to no chip pin and no rail.", width, tone="fault")

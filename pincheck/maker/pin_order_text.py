"""Today's and the proposed order of a plug's pins, with the proof."""

from collections.abc import Iterator

from pincheck.analysis.mating.survey import Survey
from pincheck.maker.pin_cost import WEIGHTS, weight
from pincheck.maker.pin_order import PinOrder
from pincheck.reports import sentences
from pincheck.reports.text import labelled, wrap


def lines(it: PinOrder) -> Iterator[str]:
    """Yield both orders pin by pin, and what the worst matings of both do."""
    searched = (
        f"all {it.orders} different orders"
        if it.exact
        else f"{it.orders} orders, one after another"
    )
    yield from wrap(
        f"Pins of {'.'.join(it.connector)}: {searched} were compared by what two wires do on two "
        f"wrong pins, and the best of them solved in full. Wires that share a current, both ends "
        f"of a coil and both wires of a sensor stay as close as they are."
    )
    yield ""
    if it.better == it.pins:
        yield "Today's order is the best that was found."
    else:
        width = max(map(len, it.pins))
        yield f"{'pin':>5}  {'today':<{width}}  proposed"
        for number, (now, then) in enumerate(zip(it.pins, it.better, strict=True), 1):
            yield f"{number:>5}  {now or '-':<{width}}  {then or '-'}"
    for name, found, cost in (
        ("today", it.today, it.costs[0]),
        ("proposed", it.proposed, it.costs[1]),
    ):
        if name == "today" or it.better != it.pins:
            yield ""
            yield f"{name}: worst mating {cost[0]}, all together {cost[1]}"
            yield from _matings(found)
    counted = ", ".join(f"{kind} {count}" for kind, count in WEIGHTS.items())
    yield ""
    yield from wrap(f"Each harm of a mating counts: {counted}.")
    yield from ("", *wrap(sentences.CAUTIONS[0]))


def _matings(found: Survey) -> Iterator[str]:
    for it in sorted(found.found, key=lambda it: -weight(it.harms)):
        worst = f"{it.harms[0].kind}: {it.harms[0].text}" if it.harms else "nothing"
        yield from labelled(str(weight(it.harms)), f"{it.mating.how}: {worst}")

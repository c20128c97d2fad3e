"""What keeps plugs from going on wrong, and the one line of a check where nothing does."""

from itertools import islice

from pincheck.model import limits
from pincheck.model.wiring import Assembly, Cable, Fit
from pincheck.wiring.copper import Copper
from pincheck.wiring.plugs import Mating, count_wires, mated, matings


def prevention(assembly: Assembly, mating: Mating) -> str:
    """Return what would keep a mating from happening, in words."""
    board, name = mating.connector
    connector = assembly.boards[board].connectors[name]
    if mating.kind == "swapped":
        other = mating.other[1] if mating.other else ""
        return f"another coding, pitch or count of pins on {name} or {other}"
    free = [n for n, net in enumerate(connector.pins, 1) if not net and n not in connector.plugged]
    fills = next((n for n in free if mating.meets[n - 1] not in (0, n, *connector.plugged)), None)
    key = "a shroud" if mating.kind == "shifted" else "a keyed housing"
    if connector.keyed is None and connector.shroud is None:
        key += " (the board file does not say whether there is one)"
    return f"{key}, or position {fills} cut off and filled" if fills else key


def plug_danger(assembly: Assembly) -> str:
    """Return in a sentence which plug can destroy something and what prevents it, else empty.

    Only what the board files say that nothing prevents is looked at, and of that only what brings
    other volts to a wire.
    """
    if count_wires(assembly) > limits.WIRES_AT_A_CHECK:
        return ""
    copper = Copper(assembly)
    suspect = {
        it: None
        for it in islice(matings(assembly), limits.MATINGS_LISTED)
        if not it.prevented_by and _stated(assembly, it) and _brings_volts(copper, it)
    }
    if not suspect:
        return ""
    # The circuit is loaded only where there is something to solve.
    from pincheck.analysis.mating.survey import survey

    found = survey(assembly, suspect.__contains__, limits.MATINGS_AT_A_CHECK).dangerous
    if not found:
        return ""
    worst = found[0]
    plug = ".".join(worst.mating.connector)
    return (
        f"A plug can burn or destroy something: {plug} {worst.mating.how}: {worst.harms[0].text}. "
        f"Only {prevention(assembly, worst.mating)} prevents it; `pincheck mating` shows all."
    )


def _stated(assembly: Assembly, mating: Mating) -> bool:
    """Whether the board file says anything of a key or wall: of one unknown no advice is given.

    Nor is any of plugs that are exchanged: every board has several of one family.
    """
    it = assembly.boards[mating.connector[0]].connectors[mating.connector[1]]
    return mating.kind != "swapped" and (it.keyed, it.shroud) != (None, None)


def _brings_volts(copper: Copper, mating: Mating) -> bool:
    """Whether a wire meets another rail than it should."""
    before, after = copper.assembly, mated(copper.assembly, mating)
    for was, now in zip(before.fits, after.fits, strict=True):
        part = was.part
        if part.kind == "heater" and len(was.pins) == 2:
            continue  # alone on its plug it is a resistor whichever way round
        if was != now and _fed(copper, was) != _fed(copper, now):
            return True
    for one, two in zip(before.cables, after.cables, strict=True):
        if one != two and _volts_joined(copper, one) != _volts_joined(copper, two):
            return True
    return False


def _fed(copper: Copper, fit: Fit) -> list[float | None]:
    ends = range(len(fit.part.terminals))
    return [copper.volts(copper.at_terminal(fit, n)) for n in ends]


def _volts_joined(copper: Copper, cable: Cable) -> dict[int, float | None]:
    """Return for each wire of a cable, by its far pin, the volts that its near pin stands on."""
    return {b: copper.volts(copper.at_pin(cable.from_, a)) for a, b in cable.pairs}

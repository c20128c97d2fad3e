"""Every wrong mating of an assembly, solved; what prevents each danger, and what could."""

from collections.abc import Callable, Iterator
from itertools import islice

from attrs import evolve, field, frozen

from pincheck.analysis.mating.comparison import Comparison
from pincheck.analysis.mating.copper_harm import copper_harms
from pincheck.analysis.mating.harm import Harm, MatingHarm
from pincheck.analysis.mating.part_harm import part_harms, role_harms
from pincheck.analysis.mating.solved import Solved
from pincheck.circuit import UnsolvedError
from pincheck.model import limits
from pincheck.model.wiring import Assembly, Cable, Fit
from pincheck.wiring.copper import Copper
from pincheck.wiring.plugs import Mating, mated, matings


@frozen
class Survey:
    """Wrong matings with what they do, worst first; `left_out` are more than are solved."""

    found: tuple[MatingHarm, ...] = field(repr=False)
    left_out: int = 0

    @property
    def dangerous(self) -> tuple[MatingHarm, ...]:
        """Those that nothing prevents and that can burn or destroy something."""
        return tuple(it for it in self.found if it.dangerous and not it.prevented)


def survey(
    assembly: Assembly,
    wanted: Callable[[Mating], bool] = lambda _: True,
    most: int = limits.MATINGS,
) -> Survey:
    """Solve the wrong matings that are wanted, up to a bound; what joins the same counts once."""
    right = Solved(assembly)
    groups: dict[object, list[tuple[Mating, Solved]]] = {}
    listed = tuple(filter(wanted, islice(matings(assembly), limits.MATINGS_LISTED)))
    for mating in listed[: 3 * most]:
        wrong = Solved(mated(assembly, mating), right)
        if wrong.joins != right.joins:
            groups.setdefault(wrong.joins, []).append((mating, wrong))
    found = []
    for group in islice(groups.values(), most):
        # Named first is one that can happen.
        (mating, wrong), *others = sorted(group, key=lambda it: bool(it[0].prevented_by))
        same = tuple(other for other, _ in others)
        found.append(evolve(harm_of(right, wrong, mating), same=same))
    found.sort(key=lambda it: it.rank)
    left_out = len(listed[3 * most :]) + sum(map(len, list(groups.values())[most:]))
    return Survey(tuple(found), left_out)


def plug_danger(assembly: Assembly) -> str:
    """Return in a sentence which plug can destroy something and what prevents it, else empty.

    Only what nothing prevents is looked at, and of that only what brings other volts to a wire.
    """
    copper = Copper(assembly)
    found = survey(
        assembly,
        lambda it: not it.prevented_by and _brings_volts(copper, it),
        limits.MATINGS_AT_A_CHECK,
    ).dangerous
    if not found:
        return ""
    worst = found[0]
    plug = ".".join(worst.mating.connector)
    return (
        f"A plug can burn or destroy something: {plug} {worst.mating.how}: {worst.harms[0].text}. "
        f"Only {prevention(assembly, worst.mating)} prevents it; `pincheck mating` shows all."
    )


def _brings_volts(copper: Copper, mating: Mating) -> bool:
    """Whether a wire meets another rail than it should, or a heater another socket."""
    before, after = copper.assembly, mated(copper.assembly, mating)
    for was, now in zip(before.fits, after.fits, strict=True):
        part = was.part
        if was.connector == now.connector and part.kind == "heater" and len(was.pins) == 2:
            continue  # alone on its plug it is a resistor whichever way round
        if part.kind == "heater" and was.connector != now.connector:
            return True
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


def harm_of(right: Solved, wrong: Solved, mating: Mating) -> MatingHarm:
    """Return what one wrong mating does."""
    try:
        return MatingHarm(mating, tuple(_worst(Comparison(right, wrong, mating))))
    except UnsolvedError as error:
        return MatingHarm(mating, (), unsolved=str(error))


def _worst(comparison: Comparison) -> Iterator[Harm]:
    """Yield the worst that happens to each part, pin and conductor, worst first."""
    seen: set[str] = set()
    harms = (*copper_harms(comparison), *part_harms(comparison), *role_harms(comparison))
    for harm in sorted(harms, key=lambda it: it.rank):
        if harm.about not in seen:
            seen.add(harm.about)
            yield harm


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
    return f"{key}, or position {fills} cut off and filled" if fills else key

"""Every wrong mating of an assembly, solved; what prevents each danger, and what could."""

from collections.abc import Callable, Iterator
from itertools import islice

from attrs import evolve

from pincheck.analysis.mating.comparison import Comparison
from pincheck.analysis.mating.copper_harm import copper_harms
from pincheck.analysis.mating.harm import Harm, MatingHarm
from pincheck.analysis.mating.part_harm import part_harms, role_harms
from pincheck.analysis.mating.solved import Solved
from pincheck.circuit import UnsolvedError
from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.wiring import Assembly
from pincheck.wiring.plugs import Mating, count_wires, mated, matings


@frozen
class Survey:
    """Wrong matings with what they do, worst first; `left_out` are more than are solved."""

    found: tuple[MatingHarm, ...]
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
    most = min(most, max(1, limits.MATING_WIRES // max(1, count_wires(assembly))))
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

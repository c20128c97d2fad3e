"""What each thing that a current passes may carry for hours, and what it carries."""

from collections import defaultdict
from collections.abc import Hashable, Iterator
from typing import Literal

from attrs import evolve

from pincheck.analysis import roles
from pincheck.analysis.case import Case, part_of
from pincheck.analysis.heater_element import element
from pincheck.analysis.motor_current import real_current
from pincheck.circuit import Band, Carrier, Network, Solution, State, UnsolvedError, states
from pincheck.circuit.bands import current_band, spread_a
from pincheck.circuit.network import Key
from pincheck.model import limits
from pincheck.model.claim import Claim
from pincheck.model.finding import Input, Number
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired
from pincheck.model.threshold import Threshold
from pincheck.model.wiring import Track, Wire
from pincheck.physics import conductor, supply

TRACK_RISE_K = Threshold(
    40.0, "K", "rise of a track at the current that flows",
    "common practice: beside a hot end the board is at 60 C, and FR-4 softens from 130 C",
    below="agrees, though a design is better off with 20 K", above="danger: over its rating",
)  # fmt: skip

_WARMS = 0.2
"""Share of a lone wire's current from which a conductor counts as one that warms a bundle: it
makes a twenty-fifth of its heat (`common practice`)."""

_SHARE = 0.005
"""Of what flows: who sends less through a thing is not named as one of its users."""

_LEAST_A = 0.002
"""Less warms nothing, and a digital line may carry it."""

_NEAR = 1 / 3
"""Of what may flow: nothing is assumed to draw more than three times its likely current."""

_FAR = 3.0
"""Times the estimated spread: farther from a rating no assumption decides about it."""

UNSOLVED = "the circuit of the wiring settles in no state, or is too large to be solved"

LESS_LOST = 0.98
"""Of a rating that a cap aims at: a lower current loses less on its way, so that it falls by a
little less than the cap says (`common practice`)."""

_ORDER = ("switch", "fuse", "contact", "track", "wire")


@frozen
class Strain:
    """One rating, in words, with its derivation.

    `blows` says whether it opens the circuit when it carries too much, and nothing else happens.
    """

    what: str
    may_a: float
    formula: str
    source: str
    given: tuple[Input, ...] = ()
    blows: bool = False

    @property
    def number(self) -> Number:
        """What it may carry, with its derivation."""
        name = f"allowed for {self.what}"
        return Number(name, self.may_a, "A", self.formula, self.given, self.source)


@frozen
class Carried:
    """Alike things side by side, such as the contacts of one net on a connector, and what flows.

    `total` is their current together with everything on, `most_a` as much as if all of them got
    what the worst one may get by the assumptions about each contact; `users` are who sends how much
    of it. `unknown` are the roles whose current nobody gives.
    """

    kind: str
    strain: Strain
    total: Band
    most_a: float
    users: tuple[tuple[Wired, float], ...]
    unknown: tuple[str, ...] = ()

    @property
    def verdict(self) -> Literal["too much", "perhaps", "enough"]:
        """Whether it carries too much over all that is assumed, over part of it, or nowhere."""
        may = self.strain.may_a
        if self.total.low > may:
            return "too much"
        return "perhaps" if self.most_a > may else "enough"

    @property
    def doubt(self) -> str:
        """What a verdict of "perhaps" depends on, in words."""
        may, high, what = self.strain.may_a, self.total.high, self.strain.what
        if high <= may:
            worst = f"{self.most_a / may:.0%}"
            return f"depends on how {what} share: the worst may get {worst} of its rating"
        if self.unknown:
            return f"depends on the current of {', '.join(self.unknown)}, which nobody gives"
        return f"depends on contacts and fans: {what} may get {high:.2f} A of {may:.2f} A"

    def of(self, role: str) -> float:
        """Return what one role sends through it."""
        return next((amps for wired, amps in self.users if wired.role == role), 0.0)

    def inputs(self) -> tuple[Input, ...]:
        """Return each current and the part that draws it."""
        return tuple(
            Input(f"current of {roles.name(w.role)}", current, "A", part_of(w))
            for w, current in self.users
        )


def track_current_a(track: Track) -> float:
    """Return what a track carries at the allowed rise."""
    return conductor.track_current_a(track.width_mm, track.weight_oz, track.layer, TRACK_RISE_K)


def solved(case: Case, state: State) -> Solution | None:
    """Return the solution of a state, None where its diodes and converters settle in none."""
    try:
        return case.circuit.solve(state)
    except UnsolvedError:
        return None


def everything_on(case: Case) -> Solution | None:
    """Return the machine with all on, each current as it warms: heaters under their caps.

    None where its circuit settles in no state, or is larger than any machine's.
    """
    if "everything on" not in case.kept:
        network = case.circuit.network
        ohm: dict[Key, float] = {}
        for wired in case.fitted("heater"):
            found = element(case, wired)
            if not isinstance(found, str):
                ohm["part", wired.fit.name] = found.ohm / max(found.duty, 1e-6) ** 0.5
        for wired in case.trace.wired:
            # Its wrong voltage is another rule's; what it does to the rest is not known then.
            rated_a, volt = wired.part.current_a, wired.supply_v
            if rated_a and volt and ("part", wired.fit.name) in network.elements:
                ohm.setdefault(("part", wired.fit.name), volt / rated_a)
        for wired in case.fitted("motor"):
            for hop in wired.path.hops:
                if hop.kind == "driver" and wired.path.driver and (amps := _motor_a(case, wired)):
                    for coil in (0, 1):
                        key = ("driver", hop.board, wired.path.driver.name, coil)
                        if key in network.elements:
                            ohm[key] = network.elements[key].emf_v / amps
        case.kept["everything on"] = None
        if len(network.elements) * len(case.assembly.fits) <= limits.CIRCUIT_WORK:
            case.kept["everything on"] = solved(case, evolve(states.running(network), ohm=ohm))
    kept: Solution | None = case.kept["everything on"]
    return kept


def _motor_a(case: Case, wired: Wired) -> float | None:
    claim, sense = case.known(wired.role, "current_a"), case.known(wired.role, "sense_ohm")
    if not isinstance(claim, Claim):
        return wired.part.current_a
    return real_current(wired, claim, sense if isinstance(sense, Claim) else None).value


def idle(case: Case, wired: Wired) -> str:
    """Return why nothing flows through a part with everything on, empty where it does."""
    solution = everything_on(case)
    if solution is None:
        return UNSOLVED
    board = wired.fit.connector[0] if wired.fit.connector else ""
    if reason := case.circuit.network.unfed.get(board):
        return reason
    flows = abs(solution.current_a(("part", wired.fit.name))) > _LEAST_A
    return "" if flows else "no current gets through it, out and back"


def voltage_across(case: Case, wired: Wired) -> float | None:
    """Return the volts that a part gets with everything on, None where nothing flows."""
    solution = everything_on(case)
    if solution is None or idle(case, wired):
        return None
    return abs(solution.across_v(case.circuit.network.elements["part", wired.fit.name]))


def carried(case: Case) -> tuple[Carried, ...]:
    """Return every contact, track, wire, fuse and switch of a stated rating with what flows."""
    if "carried" not in case.kept:
        solution = everything_on(case)
        case.kept["carried"] = tuple(_carried(case, solution)) if solution else ()
    kept: tuple[Carried, ...] = case.kept["carried"]
    return kept


def ways(case: Case, wired: Wired) -> list[Carried]:
    """Return what a part's own current passes, the switch first."""
    mine = [way for way in carried(case) if way.of(wired.role)]
    return sorted(mine, key=lambda way: _ORDER.index(way.kind))


@frozen
class _Beside:
    """Carriers side by side with the elements that they lie in."""

    kind: str
    net: str
    carriers: tuple[Carrier, ...]
    keys: tuple[Key, ...]

    def flows_a(self, solution: Solution) -> float:
        """Return what flows: of contacts and wires together, of all else where it is most."""
        currents = [solution.current_a(key) for key in self.keys]
        return abs(sum(currents)) if self.kind in ("contact", "wire") else max(map(abs, currents))

    def band(self, solution: Solution, may_a: float) -> Band:
        """Return what flows, its ends over what is only assumed, exact only near `may_a`."""
        keys = self.keys
        if self.kind not in ("contact", "wire"):
            keys = (max(keys, key=lambda key: abs(solution.current_a(key))),)
        flows = self.flows_a(solution)
        if flows < _NEAR * may_a:
            return Band(flows, flows, flows)
        spread = spread_a(solution, *keys)
        if abs(flows - may_a) > _FAR * spread:
            return Band(max(flows - spread, 0.0), flows, flows + spread)
        return current_band(solution, *keys)

    def worst_share(self, solution: Solution) -> float:
        """Return what the one takes that has least resistance while all others have most, over
        the share that each has if they are alike."""
        if self.kind not in ("contact", "wire"):
            return 1.0
        bands = [solution.circuit.network.elements[key].ohm for key in self.keys]
        others = sum(1.0 / band.high for band in bands)
        most = max(1.0 / (1.0 + b.low * (others - 1.0 / b.high)) for b in bands)
        return most * len(self.keys)


def _carried(case: Case, solution: Solution) -> Iterator[Carried]:
    drawn = [(wired, less) for wired, less in without_each(case, solution)]
    for beside in _side_by_side(solution.circuit.network):
        strain = _strain(beside, _loaded(solution, beside))
        if strain is None:
            continue
        flows = beside.flows_a(solution)
        users = tuple(
            (wired, own)
            for wired, less in drawn
            if (own := flows - beside.flows_a(less)) > max(_SHARE * flows, _LEAST_A)
        )
        total = beside.band(solution, strain.may_a)
        worst = total.high * beside.worst_share(solution)
        unknown = tuple(wired.role for wired, _ in users if _is_unknown(wired))
        yield Carried(beside.kind, strain, total, worst, users, unknown)


def without_each(case: Case, solution: Solution) -> Iterator[tuple[Wired, Solution]]:
    """Yield each fitted part with what flows while it alone draws nothing."""
    seen: set[str] = set()
    for wired in case.trace.wired:
        name = wired.fit.name
        if name not in seen:
            seen.add(name)  # a probe with a servo has two roles and draws its current once
            less = solution
            for key in (("part", name), ("part", name, 0), ("part", name, 1)):
                less = less.without(key)
            if less is not solution:
                yield wired, less


def _side_by_side(network: Network) -> Iterator[_Beside]:
    groups: dict[Hashable, list[tuple[Carrier, tuple[Key, ...]]]] = defaultdict(list)
    nets: dict[Hashable, str] = {}
    for carrier, keys in network.carriers.items():
        group: Hashable = carrier.key
        net = str(carrier.key[-1])
        it = network.elements[keys[0]]
        if carrier.kind in ("contact", "wire"):
            net = it.one.name
            if it.kind == "conductor":
                where = carrier.key[1:3] if carrier.kind == "contact" else carrier.key[1:2]
                group = (carrier.kind, where, it.one.name, it.two.name)
        groups[group].append((carrier, keys))
        nets[group] = net
    for group, members in groups.items():
        carriers = tuple(carrier for carrier, _ in members)
        keys = tuple(key for _, found in members for key in found)
        yield _Beside(carriers[0].kind, nets[group], carriers, keys)


def _loaded(solution: Solution, beside: _Beside) -> int:
    """Return how many conductors of a cable, or wires of a part, warm each other."""
    wire = beside.carriers[0].rating
    if not isinstance(wire, Wire):
        return 1
    least = _WARMS * conductor.CHASSIS_A.get(wire.awg, 0.0)
    kind, of, *_ = beside.keys[0]
    bundle = (key for key in solution.circuit.network.elements if key[:2] == (kind, of))
    warm = sum(abs(solution.current_a(key)) > least for key in bundle)
    return max(warm, len(beside.keys))


def _is_unknown(wired: Wired) -> bool:
    electronic = wired.part.kind in ("fan", "output", "probe", "servo", "endstop")
    return electronic and wired.part.current_a is None and wired.signal.output != "switch"


def _wired(name: str, value: float, unit: str = "") -> Input:
    return Input(name, value, unit, "wiring")


def _strain(beside: _Beside, loaded: int) -> Strain | None:
    """Return what a group may carry together, None where nobody rates it."""
    carrier, count, rating = beside.carriers[0], len(beside.keys), beside.carriers[0].rating
    match beside.kind:
        case "contact" if isinstance(rating, int | float):
            pins = ",".join(str(it.key[-1]) for it in beside.carriers)
            return Strain(
                f"contact{'s' * (count > 1)} {pins} of {carrier.key[1]}.{carrier.key[2]}",
                rating * count,
                "rating x count" if count > 1 else "as rated",
                "common practice",
                (_wired("rating of one contact", rating, "A"), _wired("count", count)),
            )
        case "track" if isinstance(rating, Track):
            return Strain(
                f"the track of {beside.net}",
                track_current_a(rating),
                f"k dT^0.44 A^0.725, dT = {TRACK_RISE_K:.0f} K, A = width x weight x "
                f"{conductor.OUNCE_MM} mm in square mil",
                "IPC-2221",
                (
                    _wired("width", rating.width_mm, "mm"),
                    _wired("weight", rating.weight_oz, "oz"),
                    Input("k", conductor.LAYER_FACTOR[rating.layer], "", f"{rating.layer} layer"),
                ),
            )
        case "wire" if isinstance(rating, Wire) and rating.awg in conductor.CHASSIS_A:
            single_a = conductor.wire_current_a(rating.awg)
            bundled_a = conductor.wire_current_a(rating.awg, loaded)
            each = f"{count} {beside.net} wires" if count > 1 else f"the {beside.net} wire"
            return Strain(
                f"{each} of {rating.awg} AWG",
                count * bundled_a,
                "current of the gauge x count x share in a bundle",
                "Handbook of Electronic Tables and Formulas, chassis wiring; NFPA 70, from memory",
                (
                    Input("current of the gauge", single_a, "A", f"{rating.awg} AWG"),
                    _wired("count", count),
                    Input("share in a bundle", bundled_a / single_a, "", f"{loaded} loaded"),
                ),
            )
        case "fuse" if isinstance(rating, int | float):
            given = (_wired("fuse rating", rating, "A"),)
            may, source = rating * supply.FUSE_HOLDS, "ISO 8820-3, from memory"
            return Strain("the fuse", may, "fuse rating x 1.1", source, given, True)
        case "switch" if isinstance(rating, int | float):
            return Strain("the switch", rating, "as rated", "wiring")
    return None

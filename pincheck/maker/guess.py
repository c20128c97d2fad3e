"""Which part of the catalogue a configuration speaks of: a guess for the user to confirm."""

from collections.abc import Iterator, Mapping
from functools import partial

from pincheck.analysis import roles
from pincheck.maker.believed import believed
from pincheck.model.claim import Claims
from pincheck.model.wiring import Board, Part
from pincheck.sensors import same_part

Catalogue = Mapping[str, Part]


def guess(role: str, claims: Claims, board: Board, catalogue: Catalogue) -> Part | None:
    """Return the part that fits best what is claimed of a role, None where none does."""
    found = {
        "heater": partial(_heater, role),
        "sensor": partial(_sensor, role, claims),
        "fan": partial(_fan, role),
        "signal": partial(_probe, role, claims),
        "endstop": partial(_stop, role, claims),
        "servo": partial(_of_kind, "servo"),
        "motor": partial(_motor, role, claims),
    }.get(roles.function(role))
    return next(found(board, catalogue), None) if found else None


def _of_kind(kind: str, _board: Board, catalogue: Catalogue) -> Iterator[Part]:
    return (part for part in catalogue.values() if part.kind == kind)


def _heater(role: str, board: Board, catalogue: Catalogue) -> Iterator[Part]:
    """Yield the weakest for a hot end and the strongest for a bed."""
    bed = role.startswith("bed")
    fitting = (
        part
        for part in _of_kind("heater", board, catalogue)
        if part.rated_v == board.supply_v and part.id.startswith("bed") == bed
    )
    yield from sorted(fitting, key=lambda part: part.power_w or 0.0, reverse=bed)


def _sensor(role: str, claims: Claims, board: Board, catalogue: Catalogue) -> Iterator[Part]:
    if roles.family(role) == "filament.sensor":
        yield from _stop(role, claims, board, catalogue)
        return
    taken = believed(claims.find(role, "table"), claims)
    sensors = _of_kind("sensor", board, catalogue)
    yield from (part for part in sensors if taken and same_part(taken.id, part.sensor))


def _fan(role: str, board: Board, catalogue: Catalogue) -> Iterator[Part]:
    fitting = (
        part
        for part in _of_kind("fan", board, catalogue)
        if part.rated_v == board.supply_v and "control" not in part.terminals
    )
    strongest = roles.family(role) == "part.fan"
    yield from sorted(fitting, key=lambda part: part.current_a or 0.0, reverse=strongest)


def _probe(role: str, claims: Claims, board: Board, catalogue: Catalogue) -> Iterator[Part]:
    kind = claims.find(role, "probe_kind")
    for part in _of_kind("probe", board, catalogue):
        same_kind = kind is None or part.probe_kind == kind.value
        if same_kind and part.signal.triggered == _level(role, claims):
            yield part


def _stop(role: str, claims: Claims, board: Board, catalogue: Catalogue) -> Iterator[Part]:
    level = _level(role, claims)
    fitting = [
        part
        for part in _of_kind("endstop", board, catalogue)
        if (part.signal.output, part.signal.triggered) == ("switch", level)
    ]
    filament = role.startswith("filament")
    yield from (part for part in fitting if part.id.startswith("filament") == filament)
    yield from fitting


def _level(role: str, claims: Claims) -> str:
    inverted = claims.find(role, "inverted")
    return "low" if inverted and inverted.value is True else "high"


def _motor(role: str, claims: Claims, board: Board, catalogue: Catalogue) -> Iterator[Part]:
    claim = claims.find(role, "current_a")
    wanted = claim.value if claim and isinstance(claim.value, float) else 0.0
    motors = sorted(_of_kind("motor", board, catalogue), key=lambda part: part.current_a or 0.0)
    yield from (part for part in motors if (part.current_a or 0.0) >= wanted)

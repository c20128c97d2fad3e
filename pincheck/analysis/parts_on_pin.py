"""What hangs on each chip pin, whatever the firmware says of it."""

from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.analysis.pairings import at_home
from pincheck.chips import Chip, ChipPin
from pincheck.model.claim import Claim, PinValue, Place
from pincheck.model.finding import Fact, Unchecked
from pincheck.model.frozen import frozen
from pincheck.model.path import Wired


@frozen
class OnPin:
    """One pin of a known chip and every part that the copper leads it to."""

    place: Place
    chip: Chip
    pin: ChipPin
    parts: tuple[Wired, ...]

    @property
    def spots(self) -> tuple[tuple[str, str], ...]:
        """The verdicts at stake."""
        return tuple((wired.role, "pin") for wired in self.parts)

    @property
    def names(self) -> str:
        """The parts in words."""
        return roles.listed([roles.name(wired.role) for wired in self.parts])

    @property
    def effects(self) -> str:
        """What becomes of each part when the pin does not serve it."""
        return roles.listed(
            [f"the {roles.name(w.role)} {roles.left_alone(w.role)}" for w in self.parts]
        )

    def claims(self, case: Case) -> tuple[Claim, ...]:
        """Return the claims that name this very pin for its parts."""
        found = (case.known(wired.role, "pin") for wired in self.parts)
        return tuple(
            claim
            for claim in found
            if isinstance(claim, Claim)
            and isinstance(claim.value, PinValue)
            and claim.value.place == self.place
        )

    def facts(self, case: Case) -> tuple[Fact, ...]:
        """Return where each part hangs."""
        return tuple(fact(wired, "pin", case.at(self.place)) for wired in self.parts)

    def unchecked(self, reason: str) -> Iterator[Unchecked]:
        """Yield that the pin was not checked for its parts."""
        return (Unchecked(role, attribute, reason) for role, attribute in self.spots)


def by_pin(case: Case) -> Iterator[OnPin]:
    """Yield every pin of a known chip that a part hangs on, with all its parts."""
    for place, parts in at_home(case).items():
        chip, pin = case.chip_on(place.board), case.chip_pin(place)
        if chip and pin:
            yield OnPin(place, chip, pin, parts)

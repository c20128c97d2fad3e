"""The pins of a motor driver, which no claim speaks of but its step pin."""

from collections.abc import Iterator

from pincheck.chips import canonical_by_syntax
from pincheck.maker.layouts.row import Ground
from pincheck.maker.want import CannotExpressError
from pincheck.model.claim import PinValue, Place


def other_pins(ground: Ground, role: str) -> Iterator[tuple[str, str]]:
    """Yield ("dir", pin) and ("enable", pin) of a motor's driver, spelt in the style.

    Raises:
        CannotExpressError: the style has no way to write one of them.
    """
    wired = ground.trace.find(role)
    driver = wired.path.driver if wired else None
    if wired is None or driver is None:
        return
    board = next((hop.board for hop in wired.path.hops if hop.kind == "driver"), "")
    for kind, pin in (("dir", driver.dir_pin), ("enable", driver.enable_pin)):
        if pin and board:
            place = Place(board, canonical_by_syntax(pin) or pin)
            try:
                yield kind, ground.spelling.pins.spell(PinValue(pin, place), "")
            except ValueError as error:
                raise CannotExpressError(f"{role}, {kind} pin of its driver: {error}") from None

"""Chip pins in the words of configurations."""

from pincheck.model.claim import Place
from pincheck.model.wiring import Assembly


def place_words(assembly: Assembly, place: Place) -> str:
    """Return a pin, with the name that users give its chip where it is not the main one."""
    if place.board in ("", assembly.main):
        return place.pin
    bound = (name for name, key in assembly.chips.items() if key == place.board)
    return f"{place.pin} of {next(bound, place.board)}"

"""How a user's files name a heater that a fan watches."""

from pincheck.claims.interpretation import Interpretation
from pincheck.model.role import split


def watched_words(machine: Interpretation, heater: str) -> str:
    """Return the text that means `heater`.

    Raises:
        ValueError: the files set no such heater up, or the style has no word for it.
    """
    group, number, _ = split(heater)
    style = machine.reading.style
    if style == "section":
        if group == "hotend":
            return f"extruder{number or ''}"
        if group == "bed":
            return "heater_bed"
        if names := machine.groups.ids("heater", (group, number)):
            return names[0]
    if style == "gcode":
        kind = "sensor" if machine.things.of("sensor") else "heater"
        if known := machine.groups.ids(kind, (group, number)):
            return known[0]
    raise ValueError(f"no heater is set up as {heater}")

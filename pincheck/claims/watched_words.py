"""How a user's files name a heater that a fan watches, or the sensor of a heater."""

from pincheck.claims.interpretation import Interpretation
from pincheck.model.role import split


def watched_words(machine: Interpretation, watched: str) -> str:
    """Return the text that means a heater, or its sensor.

    Raises:
        ValueError: the files set no such thing up, or the style has no word for it.
    """
    group, number, function = split(watched)
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
    raise ValueError(f"no {function} is set up as {watched}")

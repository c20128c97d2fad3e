"""The one wrong figure of a user's own sensor, pointed at and mended in its own line."""

import pytest

from pincheck import api

GLASS = "temperature1: 25\nresistance1: 100000\ntemperature2: 150\nresistance2: 1360\n"
GLASS += "temperature3: 250\nresistance3: 174\n"
BETA = "temperature1: 25\nresistance1: 100000\nbeta: 3950.\n"


def told(demo, file, word, figures):
    """Return the line that is pointed at and the texts of its edit, for a sensor of figures."""
    head = "[extruder]" if file == "toolhead.cfg" else "[heater_bed]"
    sensor = f"[thermistor bead]\n{figures}\n{head}"
    result = demo("section", (file, word, "bead"), (file, head, sensor))
    (found,) = [f for f in result.findings if f.rule == "sensor-table-differs"]
    (proposal,) = [p for p in api.propose(result) if p.finding is found]
    lines = next(s.text for s in result.reading.sources if s.name == found.span.source)
    return lines.splitlines()[found.span.line - 1], [e.replacement for e in proposal.edits]


@pytest.mark.parametrize(
    ("old", "new", "right"),
    [
        ("resistance3: 174", "resistance3: 1740", "174"),
        ("resistance2: 1360", "resistance2: 13600", "1360"),
        ("temperature3: 250", "temperature3: 205", "250"),
        ("resistance1: 100000", "resistance1: 10000", "100000"),
    ],
)
def test_a_mistyped_point(demo, old, new, right):
    """The table 104GT has 1360 ohm at 150 C and 174 ohm at 250 C."""
    figures = GLASS.replace(old, new)
    line, edits = told(demo, "toolhead.cfg", "ATC Semitec 104GT-2", figures)
    assert (line, edits) == (new, [right])


@pytest.mark.parametrize(
    ("old", "new", "right"),
    [
        ("beta: 3950.", "beta: 3590.", "3950."),
        ("resistance1: 100000", "resistance1: 10000", "100000"),
    ],
)
def test_a_mistyped_letter_of_a_class(demo, old, new, right):
    line, edits = told(demo, "machine.cfg", "Generic 3950", BETA.replace(old, new))
    assert (line, edits) == (new, [right])


def test_what_no_single_figure_mends_changes_the_table(demo):
    """A beta alone never follows the glass bead: its own 4267 is 13 K off at 250 C."""
    line, edits = told(demo, "toolhead.cfg", "ATC Semitec 104GT-2", BETA)
    assert (line, edits) == ("sensor_type: bead", ["ATC Semitec 104GT-2"])

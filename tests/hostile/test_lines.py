"""Lines of one thing over and over, wherever a line can stand, are read like any other."""

from itertools import product

import pytest

from pincheck import api
from pincheck.model import limits
from pincheck.model.problem import UnreadableError
from pincheck.model.setting import STYLES, StyleName

PIECES = (*"1.!^({ \ta'\"/#;=-e%[:_<~\\", "1:", "1,", "{}", "*/ ", "//", "PA1,", "1+", "x=", "&&")
PLACES = {
    "section": (
        "[extruder]\nmax_temp: @\n",
        "[extruder]\nheater_pin: @\n",
        "[include @]\n[extruder]\n",
        "[extruder]\n@\n",
        "@[extruder]\nmax_temp: 1\n",
    ),
    "define": (
        "#define TEMP_SENSOR_0 @\n",
        "#define TEMP_SENSOR_0 1\n#if @\n#endif\n",
        "#define TEMP_SENSOR_0 1\n@\n",
        "@#define TEMP_SENSOR_0 1\n",
    ),
    "gcode": (
        'M950 H0 C"out1"\nM143 H0 S@\n',
        'M950 H0 C"@"\n',
        'M950 H0 C"out1"\n@\n',
        '@M950 H0 C"out1"\n',
    ),
}


@pytest.mark.parametrize("style", STYLES)
def test_long_lines_of_every_kind(style: StyleName) -> None:
    """Ten of them in one file would take minutes, were any pattern to try them in every way."""
    room = limits.LINE_CHARS - 100
    for place, piece in product(PLACES[style], PIECES):
        line = place.replace("@", piece * (room // len(piece)) + "x")
        machine = api.load_configuration_bytes(line.encode() * 10, "config.g", style=style)
        try:
            claims, problems = api.claims(machine)
            assert claims.style == style
        except UnreadableError as error:
            problems = error.problems
        assert all(len(problem.text) <= limits.PROBLEM_CHARS for problem in problems)

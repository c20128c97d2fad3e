"""Vocabulary files: the built-in ones hold together, a user's own adds to them or is told off."""

import pytest
from applied import read

from pincheck.claims import claims, vocabulary
from pincheck.claims.mistakes import mistakes
from pincheck.claims.pattern import filled, matched, places
from pincheck.model.problem import UnreadableError
from pincheck.model.setting import STYLES, Style
from pincheck.model.source import Source
from pincheck.resources import folder
from pincheck.toml.document import parse


def problems(style: Style, text: str) -> list[str]:
    """Return what is said of a user's file, empty where it is taken."""
    try:
        vocabulary(style, [Source.of_text("fork.toml", text)])
    except UnreadableError as error:
        return [str(problem) for problem in error.problems]
    return []


@pytest.mark.parametrize("style", STYLES)
def test_the_built_in_files_are_right(style: Style) -> None:
    """Every entry says how well it is founded, and can be listed with its place."""
    path = folder("grammars") / f"{style}.toml"
    document = parse(Source.of_text(path.name, path.read_text(encoding="utf-8")))
    assert list(mistakes(document, style)) == []
    entries = vocabulary(style).entries
    assert len(entries) == len(document.values["entries"]) > 50
    places = [document.value(("entries", number)) for number in range(len(entries))]
    assert [entry.at for entry in entries] == places
    assert {entry.basis for entry in entries} <= {"common practice", "from memory"}
    assert all(entry.at and entry.at.source == f"{style}.toml" for entry in entries)


def test_a_forks_own_key_is_understood() -> None:
    """A new name for a known thing needs no more than a line of data."""
    fork = Source.of_text(
        "fork.toml",
        """
style = "section"
entries = [
    { section = "extruder{n?}", key = "hard_limit", role = "hotend{n?}.heater", \
attribute = "max_c", as = "number" },
    { section = "fan", key = "off_below", role = "part.fan", attribute = "min_duty", as = "byte" },
]
""",
    )
    words = vocabulary("section", [fork])
    text = "[extruder]\nhard_limit: 265\n[fan]\npin: PB8\noff_below: 51\n"
    found = claims(read("section", text), None, words)
    limit, duty = found.find("hotend.heater", "max_c"), found.find("part.fan", "min_duty")
    assert limit
    assert limit.value == 265.0
    assert duty
    assert duty.value == 0.2


def test_a_forks_own_required_key_leaves_open_what_hangs_on_it() -> None:
    """Not set, it says neither yes nor no; the names required already stay so."""
    fork = Source.of_text(
        "fork.toml",
        """
style = "define"
required = ["PART_FAN_PORT"]
entries = [
    { key = "PORT_ONE_PIN", role = "part.fan", attribute = "pin", as = "output pin", \
needs = ["PART_FAN_PORT==1"] },
]
""",
    )
    words = vocabulary("define", [fork])
    assert {"PART_FAN_PORT", "X_HOME_DIR"} <= set(words.required)
    text = "#define TEMP_SENSOR_0 5\n#define EXTRUDER_AUTO_FAN_TEMPERATURE 50\n"
    text += "#define PORT_ONE_PIN PB8\n"
    claim = claims(read("define", text), None, words).find("part.fan", "pin")
    assert claim
    assert claim.doubt == "no file that was sent sets PART_FAN_PORT"
    other = text + "#define PART_FAN_PORT 2\n"
    assert claims(read("define", other), None, words).find("part.fan", "pin") is None


def test_a_forks_own_way_of_protection_is_understood() -> None:
    """How a heater is watched is data, too."""
    fork = Source.of_text(
        "fork.toml",
        """
style = "section"
entries = [
    { section = "extruder{n?}", key = "heater_pin", role = "hotend{n?}.heater", \
attribute = "protection_kind", as = "constant", constant = "window" },
    { section = "extruder{n?}", key = "give_up_after", role = "hotend{n?}.heater", \
attribute = "trip_period_s", as = "number" },
]
""",
    )
    text = "[extruder]\nheater_pin: PC8\ngive_up_after: 30\n"
    found = claims(read("section", text), None, vocabulary("section", [fork]))
    kind, period = (
        found.find("hotend.heater", name) for name in ("protection_kind", "trip_period_s")
    )
    assert kind
    assert period
    assert (kind.value, period.value) == ("window", 30.0)


def test_a_users_file_leaves_the_built_in_one_as_it_is() -> None:
    """What one user adds is nobody else's."""
    before = vocabulary("define")
    fork = row("X_LIMIT", "hotend.heater", "max_c", "number")
    after = vocabulary("define", [Source.of_text("fork.toml", fork)])
    assert len(after.entries) == len(before.entries) + 1
    assert vocabulary("define") == before


LINE = 'entries = [{{ key = "A", role = "hotend.heater", attribute = "max_c", as = "number"{} }}]'


def row(key: str, role: str, attribute: str, read_as: str) -> str:
    """Return a file of one entry."""
    names = f'key = "{key}", role = "{role}", attribute = "{attribute}", as = "{read_as}"'
    return f"entries = [{{ {names} }}]"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            row("A", "hotend.heater", "maxc", "number"),
            "fork.toml:1:61: unknown attribute 'maxc'; did you mean 'max_c'?",
        ),
        (
            row("A", "hotnd.heater", "max_c", "number"),
            "unknown group 'hotnd'; expected hotend, part, bed, chamber, probe, extruder, x, y, z",
        ),
        (
            row("A", "hotend.heatr", "max_c", "number"),
            "'hotend' has no 'heatr'; expected heater, sensor, fan, block; did you mean 'heater'?",
        ),
        (
            row("A", "hotend.heater", "max_c", "numbr"),
            "unknown reading 'numbr'",
        ),
        (
            row("A", "hotend.heater", "max_c", "flag"),
            "max_c cannot be read as 'flag'; expected number, byte, duty, doublings",
        ),
        (
            row("A{m}", "hotend.heater", "max_c", "number"),
            "unknown place {m}",
        ),
        (
            row("A", "<fan>.fn", "max_power", "number"),
            "no group has the function 'fn'; did you mean 'fan'?",
        ),
        (
            row("A", "hotend.heater", "protection", "word"),
            "an entry read as a word needs words",
        ),
        (
            'entries = [{ role = "hotend.heater", attribute = "max_c", as = "number" }]',
            "an entry needs a key",
        ),
        (
            'entries = [{ key = "A", role = "hotend.heater", as = "number" }]',
            "an entry needs one of attribute, figure and link",
        ),
        (
            'entries = [{ key = "A", attribute = "max_c", as = "number" }]',
            "an entry with an attribute needs a role",
        ),
        (
            row('A", section = "s', "hotend.heater", "max_c", "number"),
            "the define style has no sections",
        ),
        (LINE.format(", scael = 2"), "fork.toml:1:85: unknown key 'scael'"),
        (LINE.format(', scale = "2"'), "'scale' has the wrong kind of value; expected a number"),
        (
            LINE.format(", needs = [1]"),
            "'needs' has the wrong kind of value; expected a list of texts",
        ),
        (
            "entires = []",
            "unknown key 'entires'; expected style, relevant, ignored",
        ),
        (
            'required = "X_HOME_DIR"',
            "'required' has the wrong kind of value; expected a list of texts",
        ),
        ('style = "gcode"', "this vocabulary is of the 'gcode' style; expected 'define'"),
        ('[names]\nhotnd = ["x"]', "unknown group 'hotnd'"),
        ("entries = [1]", "an item of 'entries' is a table"),
        (
            'doubts = [{ attribute = "pim", reason = "x" }]',
            "unknown attribute 'pim'; did you mean 'pin'?",
        ),
        ("entries = [", "fork.toml:1:12"),
    ],
)
def test_mistakes_are_told_with_place_and_nearest_name(text: str, message: str) -> None:
    """Each mistake says where it is and what would be right."""
    said = problems("define", text)
    assert any(message in problem for problem in said), said
    assert all(problem.startswith("fork.toml:") for problem in said)


def test_all_mistakes_of_all_files_are_told_at_once() -> None:
    """A user mends a file in one go."""
    wrong = """entries = [
    { key = "A", role = "x.y", attribute = "z" },
    { key = "B", link = "l", attribute = "pin" },
]
"""
    sources = [Source.of_text(name, wrong) for name in ("a.toml", "b.toml")]
    with pytest.raises(UnreadableError) as caught:
        vocabulary("define", sources)
    assert {problem.file for problem in caught.value.problems} == {"a.toml", "b.toml"}
    assert len(caught.value.problems) >= 6


@pytest.mark.parametrize(
    ("pattern", "text", "groups"),
    [
        ("HEATER_{n}_PIN", "HEATER_0_PIN", {"n": "0"}),
        ("HEATER_{n}_PIN", "HEATER_BED_PIN", None),
        ("extruder{n?}", "extruder", {"n": ""}),
        ("extruder{n?}", "extruder2", {"n": "2"}),
        ("M558 K{n?}", "M558", {"n": None}),
        ("M558 K{n?}", "M558 K1", {"n": "1"}),
        ("heater_fan {name}", "heater_fan my fan", {"name": "my fan"}),
        ("{axis}_MIN_PIN", "Z_MIN_PIN", {"axis": "Z"}),
        ("tmc{any} stepper_{axis}", "tmc2209 stepper_x", {"axis": "x"}),
        ("board_pins{any?}", "board_pins my board", {}),
        ("TEMP_SENSOR_0", "temp_sensor_0", {}),
        ("TEMP_SENSOR_0", "TEMP_SENSOR_01", None),
        ("TEMP.SENSOR", "TEMP_SENSOR", None),
        ("", "", {}),
        ("", "extruder", None),
    ],
)
def test_patterns_match_what_they_describe(
    pattern: str, text: str, groups: dict[str, str | None] | None
) -> None:
    """Each place takes what its name says and nothing else."""
    found = matched(pattern, text)
    assert found == groups
    if found and "any" not in places(pattern):
        assert filled(pattern, {k: v or "0" for k, v in found.items()}) == text

"""Vocabulary files: the built-in ones hold together, a user's own adds to them or is told off."""

from itertools import pairwise

import pytest
from applied import read

from pincheck.claims import claims, vocabulary
from pincheck.claims.interpretation import Interpretation
from pincheck.claims.mistakes import mistakes
from pincheck.claims.pattern import filled, matched, places
from pincheck.model.problem import UnreadableError
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.source import Source
from pincheck.resources import folder
from pincheck.toml.document import parse


def problems(style: StyleName, text: str) -> list[str]:
    """Return what is said of a user's file, empty where it is taken."""
    try:
        vocabulary(style, [Source.of_text("fork.toml", text)])
    except UnreadableError as error:
        return [str(problem) for problem in error.problems]
    return []


@pytest.mark.parametrize("style", STYLES)
def test_the_built_in_files_are_right(style: StyleName) -> None:
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


SEP = ",\n"
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
            "'hotend' has no 'heatr'; expected heater, sensor, fan, tachometer, block; did you "
            "mean 'heater'?",
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
        (row("A{n", "hotend.heater", "max_c", "number"), "a brace of 'A{n' belongs to no place"),
        (row("A", "hotend{n?.heater", "max_c", "number"), "'hotend{n?.heater' is no role"),
        (row("A{n}{n?}", "hotend.heater", "max_c", "number"), "the place {n} is there twice"),
        (row("A", "hotend{axis}.heater", "max_c", "number"), "nothing fills {axis}: neither"),
        (row("A", "<fan {n}>.fan", "max_power", "number"), "nothing fills {n}: neither"),
        (
            row("A{any?}{any}{name}", "hotend.heater", "max_c", "number"),
            "more than 2 of {any}, {any?} and {name} in one pattern",
        ),
        (LINE.format(', needs = ["a!b==1"]'), "fork.toml:1:93: 'a!b==1' is no condition"),
        (LINE.format(', needs = ["B{n}"]'), "nothing fills {n}: neither section nor key"),
        (LINE.format(', needs = ["a converter\'s number"]'), "nothing fills {n}: neither"),
        (LINE.format(", scale = nan"), "no unit is that far from another"),
        (LINE.format(", scale = 0"), "no unit is that far from another"),
        ('conditions = { a = ["b"], b = ["!a and C"] }', "'a' refers to itself, or through"),
        ('conditions = { "a probe" = ["a servo probe"], "a servo probe" = ["a probe"] }', "itself"),
        ("conditions = { a = 1 }", "'a' is no list of conditions"),
        ("[names]\nhotend = [1]", "a word of 'hotend' is no text"),
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


def test_conditions_of_two_files_may_not_refer_to_each_other() -> None:
    """Each is right alone; the second turns a key of the first into a condition."""
    one, two = (
        Source.of_text(f"{n}.toml", f'conditions = {{ {n} = ["{other}"] }}')
        for n, other in (("A", "B"), ("B", "A"))
    )
    vocabulary("define", [one])
    vocabulary("define", [two])
    with pytest.raises(UnreadableError, match="refers to itself"):
        vocabulary("define", [one, two])


def test_conditions_that_name_the_next_twice_take_no_time() -> None:
    """16 steps were 65,536 looks at the last; each is told once now."""
    names = [f"c{n}" for n in range(15)]
    needing = LINE.format(', needs = ["c0"]')
    lists = ", ".join(f'{a} = ["{b}", "{b}"]' for a, b in pairwise(names))
    fork = f"conditions = {{ {lists}, c14 = ['NO'] }}\n{needing}"
    words = vocabulary("define", [Source.of_text("fork.toml", fork)])
    shown = Interpretation(read("define", "#define A 1\n"), None, words).shown
    counted = 0
    truth = shown._truth

    def count(*asked: object) -> tuple[bool, str]:
        nonlocal counted
        counted += 1
        return truth(*asked)  # type: ignore[arg-type]

    object.__setattr__(shown, "_truth", count)
    assert shown.holds("c0", "", {}) == (False, "NO is in no file that was sent")
    assert counted == 1


def test_a_name_is_held_against_entries_that_begin_alike_only() -> None:
    """800 keys with a place took ten seconds with 990 sections."""
    rows = [
        f'{{ section = "heater_generic {{name}}", key = "k{n}_{{n?}}x", role = "aux.heater", '
        'attribute = "max_c", as = "number" }'
        for n in range(100, 400)
    ]
    fork = Source.of_text("fork.toml", f"entries = [{SEP.join(rows)}]")
    words = vocabulary("section", [fork])
    assert len(words.candidates("heater_generic a", "k123_7x")) == 1
    assert [entry.key for entry, _ in words.match("heater_generic a", "K123_7X")] == ["k123_{n?}x"]


def test_more_names_than_any_machine_has_are_refused() -> None:
    """Keys that begin with a place are held against every name."""
    rows = [
        f'{{ section = "heater_generic {{name}}", key = "{{any}}x{n}", role = "aux.heater", '
        'attribute = "max_c", as = "number" }'
        for n in range(700)
    ]
    words = vocabulary("section", [Source.of_text("f.toml", f"entries = [{SEP.join(rows)}]")])
    text = "".join(f"[heater_generic h{n}]\na{n}: 1\n" for n in range(300))
    with pytest.raises(UnreadableError, match="more than 200,000 names to look for"):
        claims(read("section", text), None, words)


def test_a_text_of_endless_length_fits_no_pattern_with_places() -> None:
    """The ways to fit two places of any text grow with the square of its length."""
    assert matched("a{any?}b{any?}c", "a" + "b" * 200 + "c") == {}
    assert matched("a{any?}b{any?}c", "a" + "b" * 2000 + "c") is None
    assert matched("a" * 2000, "a" * 2000) == {}

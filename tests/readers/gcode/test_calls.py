"""Called scripts are read in their place, among the files at hand only."""

import pytest

from pincheck.model.reading import Reading
from pincheck.model.source import Source
from pincheck.readers import gcode


def read(files: dict[str, str], main: str | None = "config.g") -> Reading:
    """Read a machine of several files."""
    sources = [Source.of_text(name, text) for name, text in files.items()]
    return gcode.read(sources, next((it for it in sources if it.name == main), None))


def places(reading: Reading) -> list[str]:
    """Return where the settings other than calls come from, in order."""
    return [f"{it.source.name} {it.section}" for it in reading.settings if it.section != "M98"]


@pytest.mark.parametrize(
    ("call", "name"),
    [
        ('M98 P"toolhead.g"', "toolhead.g"),
        ("M98 Ptoolhead.g", "toolhead.g"),
        ('m98 p"toolhead.g" ; call', "toolhead.g"),
        ('M98 P"TOOLHEAD.G"', "toolhead.g"),
        ('M98 P"/sys/toolhead.g"', "toolhead.g"),
        ('M98 P"0:/sys/toolhead.g"', "toolhead.g"),
        ('M98 P"0:/sys/toolhead.g"', "sys/toolhead.g"),
        ('M98 P"/macros/toolhead.g"', "macros/toolhead.g"),
        ('M98 P"parts/toolhead.g"', "parts/toolhead.g"),
        ('M98 P"toolhead.g"', "somewhere/toolhead.g"),
        ('M98 P{"tool" ^ "head.g"}', "toolhead.g"),
        ('var f = "toolhead.g"\nM98 P{var.f}', "toolhead.g"),
    ],
)
def test_call_is_read_in_its_place(call: str, name: str) -> None:
    """Paths of the card, beside the script or by the only base name lead to the file."""
    reading = read({"config.g": f"M1\n{call}\nM3\n", name: "M2\n"})
    assert places(reading) == ["config.g M1", f"{name} M2", "config.g M3"]
    assert (reading.not_sent, reading.problems) == ((), ())


def test_exact_path_before_base_name() -> None:
    """The file that the path names wins over another of the same base name."""
    files = {"sys/config.g": 'M98 P"0:/macros/a.g"\n', "sys/a.g": "M1\n", "macros/a.g": "M2\n"}
    assert places(read(files, "sys/config.g")) == ["macros/a.g M2"]


def test_files_that_nobody_calls_are_not_read() -> None:
    """A script beside the start-up one runs only when something calls it."""
    reading = read({"config.g": 'M1\n;M98 P"a.g"\n', "a.g": "M2\n", "b.g": "M3\n"}, None)
    assert "a.g M2" not in places(reading)
    assert reading.not_sent == ()


def test_scripts_that_were_not_sent() -> None:
    """They are named as written, once, with the letter that asks for them."""
    main = 'M98 P"gone.g"\nM98 P"gone.g"\nM98 P"0:/sys/../../up.g"\nM98 P{state.x}\n'
    reading = read({"config.g": main + 'if false\n  M98 P"never.g"\n'})
    asked = [(it.name, it.asked_by and str(it.asked_by.span)) for it in reading.not_sent]
    assert asked == [
        ("gone.g", "config.g:1:5"),
        ("0:/sys/../../up.g", "config.g:3:5"),
        ("{state.x}", "config.g:4:5"),
    ]


def test_two_files_of_one_base_name() -> None:
    """A base name that two files have names neither."""
    reading = read({"config.g": 'M98 P"x/a.g"\n', "y/a.g": "M1\n", "z/a.g": "M2\n"})
    assert places(reading) == []
    assert [it.name for it in reading.not_sent] == ["x/a.g"]


def test_parameters_of_a_call() -> None:
    """The called script sees the letters of the call."""
    files = {"config.g": 'M98 P"a.g" S2 C"out1"\n', "a.g": "M950 F{param.S} C{param.C}\n"}
    reading = read(files)
    assert [(it.section, it.resolved) for it in reading.settings[3:]] == [
        ("M950 F2", "2"),
        ("M950 F2", "out1"),
    ]


def test_variables_across_scripts() -> None:
    """Global variables are shared, the others are not."""
    files = {
        "config.g": 'var v = 1\nM98 P"a.g"\nM106 P0 S{global.g}\n',
        "a.g": "global g = 7\nM106 P1 S{var.v}\n",
    }
    values = [it.resolved for it in read(files).settings if it.key == "S"]
    assert values == [None, "7"]


def test_condition_of_a_call_holds_in_the_called_script() -> None:
    """What a possible call does is possible."""
    files = {"config.g": 'if a.b\n  M98 P"a.g"\n', "a.g": "M1\nif c.d\n  M2\n"}
    found = [(it.section, it.activity.name, it.condition) for it in read(files).settings[1:]]
    assert found == [("M1", "POSSIBLE", "a.b"), ("M2", "POSSIBLE", "a.b and c.d")]


def test_early_end_of_a_called_script_ends_only_it() -> None:
    """The caller goes on."""
    files = {"config.g": 'M98 P"a.g"\nM3\n', "a.g": "M99\nM2\n"}
    found = [(it.section, it.activity.name) for it in read(files).settings[2:]]
    assert found == [("M2", "DISABLED"), ("M3", "ACTIVE")]


def test_script_called_twice() -> None:
    """Its settings count once, where it runs last."""
    files = {"config.g": 'M98 P"a.g"\nM106 P0 S1\nM98 P"a.g"\n', "a.g": "M106 P0 S0\n"}
    assert [it.value for it in read(files).settings if it.key == "S"] == ["1", "0"]


def test_circle() -> None:
    """A circle of calls is told with its whole way, once."""
    files = {"config.g": 'M98 P"a.g"\nM1\n', "a.g": 'M98 P"b.g"\n', "b.g": '  M98 P"a.g"\nM2\n'}
    reading = read(files)
    (problem,) = reading.problems
    assert str(problem.span) == "b.g:1:3"
    assert problem.message == "the call goes in a circle: a.g -> b.g -> a.g"
    assert places(reading) == ["b.g M2", "config.g M1"]


def test_saved_override() -> None:
    """M501 runs the values that the firmware saved, where they were sent."""
    text = {"config.g": "M501\n", "config-override.g": "M307 H1 R2.4\n"}
    assert places(read(text))[1:] == ["config-override.g M307 H1", "config-override.g M307 H1"]
    assert read({"config.g": "M501\n"}).not_sent == ()


@pytest.mark.parametrize(
    ("files", "main"),
    [
        ({"any.g": ""}, "any.g"),
        ({"homeall.g": "G28\n", "config.g": "M569 P0\n"}, "config.g"),
        ({"sys/config.g": 'M98 P"a.g"\n', "sys/a.g": 'M98 P"config.g"\n'}, "sys/config.g"),
        ({"config.g": "M569 P0\n", "old/config.g": "M569 P0\n"}, "config.g"),
        ({"start.g": 'M584 X0\nM98 P"a.g"\n', "a.g": "M308 S0\n", "homex.g": "G1\n"}, "start.g"),
        ({"a.g": "M308 S0\n", "b.g": "M950 F0\n"}, None),
        ({"a/config.g": "M569\n", "b/config.g": "M569\n"}, None),
        ({}, None),
    ],
)
def test_main_file(files: dict[str, str], main: str | None) -> None:
    """Reading starts at the start-up script, or at the only one that binds anything."""
    sources = [Source.of_text(name, text) for name, text in files.items()]
    found = gcode.main_file(sources)
    assert (found.name if found else None) == main


def test_parts_without_a_start_up_script() -> None:
    """Scripts handed over alone are all read, in the order given."""
    reading = read({"b.g": "M950 F0\n", "a.g": "M308 S0\n"}, None)
    assert places(reading) == ["b.g M950 F0", "a.g M308 S0"]


def test_two_machines_are_not_mixed() -> None:
    """Only the first of two start-up scripts is read, and the reading says so."""
    reading = read({"a/config.g": "M950 F0\n", "b/config.g": "M950 F1\n"}, None)
    assert places(reading) == ["a/config.g M950 F0"]
    assert [(it.file, it.message) for it in reading.problems] == [
        (
            "b/config.g",
            "this looks like another machine's start-up script; only a/config.g was read",
        )
    ]

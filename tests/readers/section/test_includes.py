"""Includes are read in their place, among the files at hand only."""

import pytest

from pincheck.model.reading import Reading
from pincheck.model.source import Source
from pincheck.readers import section


def read(files: dict[str, str], main: str = "machine.cfg") -> Reading:
    """Read a machine of several files from `main` on."""
    sources = [Source.of_text(name, text) for name, text in files.items()]
    return section.read(sources, [it for it in sources if it.name == main])


def values(reading: Reading) -> list[str]:
    """Return the active and lost values of all keys, in order."""
    return [f"{it.source.name}:{it.value}" for it in reading.settings if it.key]


def test_include_is_read_in_its_place() -> None:
    """What stands above an include loses to it, what stands below wins."""
    reading = read(
        {
            "machine.cfg": "[fan]\npin: A\n[include tool.cfg]\n[fan]\nmax_power: 1\n",
            "tool.cfg": "[fan]\npin: B\nmax_power: 0.5\n",
        }
    )
    assert values(reading) == [
        "machine.cfg:A",
        "tool.cfg:B",
        "tool.cfg:0.5",
        "machine.cfg:1",
    ]
    assert [(a.value, b.value) for a, b in reading.overridden] == [("A", "B"), ("0.5", "1")]


@pytest.mark.parametrize(
    ("path", "found"),
    [
        ("tool.cfg", ["tool.cfg"]),
        ("./tool.cfg", ["tool.cfg"]),
        ("parts/a.cfg", ["parts/a.cfg"]),
        ("parts/*.cfg", ["parts/a.cfg", "parts/b.cfg"]),
        ("parts/[ab].cfg", ["parts/a.cfg", "parts/b.cfg"]),
        ("parts/?.cfg", ["parts/a.cfg", "parts/b.cfg"]),
        ("*/x.cfg", ["more/x.cfg"]),
        ("parts/../tool.cfg", ["tool.cfg"]),
    ],
)
def test_paths(path: str, found: list[str]) -> None:
    """Folders, patterns and `..` lead to the files at hand."""
    others = ("tool.cfg", "parts/b.cfg", "parts/a.cfg", "parts/.hidden.cfg", "more/x.cfg")
    files = {name: f"[fan]\npin: {name}\n" for name in others}
    reading = read({"machine.cfg": f"[include {path}] # here\n", **files})
    assert values(reading) == [f"{name}:{name}" for name in found]
    assert (reading.not_sent, reading.problems) == ((), ())


def test_a_pattern_that_no_file_fits_is_told_as_one() -> None:
    reading = read({"machine.cfg": "[include nothing/*.cfg]\n", "nothing/a.txt": ""})
    assert [(missing.name, missing.pattern) for missing in reading.not_sent] == [
        ("nothing/*.cfg", True)
    ]
    assert reading.problems == ()


def test_paths_lead_from_the_including_file() -> None:
    """A nested include is looked for beside the file that asks, `..` included."""
    files = {
        "site/machine.cfg": "[include parts/a.cfg]\n",
        "site/parts/a.cfg": "[include b.cfg]\n[include ../../common/c.cfg]\n",
        "site/parts/b.cfg": "[fan]\npin: B\n",
        "common/c.cfg": "[fan]\nmax_power: C\n",
        "b.cfg": "[fan]\npin: wrong\n",
    }
    assert values(read(files, "site/machine.cfg")) == ["site/parts/b.cfg:B", "common/c.cfg:C"]


def test_files_sent_without_their_folders() -> None:
    """Files picked one by one lose their folders; their base names still find them."""
    reading = read({"machine.cfg": "[include parts/fan.cfg]\n", "fan.cfg": "[fan]\npin: A\n"})
    assert values(reading) == ["fan.cfg:A"]


def test_missing_targets_are_told_once_each() -> None:
    """A file that was not sent is named as written, with the line that asks for it first."""
    main = "[include gone.cfg]\n[include ./gone.cfg]\n[include ../up.cfg]\n[include /etc/passwd]\n"
    reading = read({"machine.cfg": main + "#[include never.cfg]\n"})
    asked = [(it.name, it.asked_by and it.asked_by.span.line) for it in reading.not_sent]
    assert asked == [("gone.cfg", 1), ("../up.cfg", 3), ("/etc/passwd", 4)]
    assert reading.problems == ()


def test_circle() -> None:
    """A circle of includes is told with its whole way, once."""
    files = {
        "machine.cfg": "[include a.cfg]\n[fan]\npin: A\n",
        "a.cfg": "[include b.cfg]\n[fan]\npin: B\n",
        "b.cfg": "[include a.cfg]\n[fan]\npin: C\n",
    }
    reading = read(files)
    (problem,) = reading.problems
    assert str(problem.span) == "b.cfg:1:1"
    assert problem.message == "the include goes in a circle: a.cfg -> b.cfg -> a.cfg"
    assert values(reading) == ["b.cfg:C", "a.cfg:B", "machine.cfg:A"]


def test_pattern_that_includes_its_own_file() -> None:
    """The firmware refuses a file that includes itself by a pattern."""
    reading = read({"machine.cfg": "[include *.cfg]\n", "a.cfg": "[fan]\npin: A\n"})
    assert [it.message for it in reading.problems] == [
        "the include goes in a circle: machine.cfg -> machine.cfg"
    ]
    assert values(reading) == ["a.cfg:A"]


def test_file_included_twice() -> None:
    """Its settings count once, and the second reading wins over what came between."""
    main = "[include a.cfg]\n[fan]\npin: B\n[include a.cfg]\n"
    reading = read({"machine.cfg": main, "a.cfg": "[fan]\npin: A\n"})
    assert values(reading) == ["a.cfg:A", "machine.cfg:B"]
    assert [(a.value, b.value) for a, b in reading.overridden] == [("B", "A")]


def test_keys_after_an_include_belong_to_no_section() -> None:
    """The firmware forgets the section at an include."""
    reading = read({"machine.cfg": "[fan]\n[include a.cfg]\npin: PA1\n", "a.cfg": ""})
    (problem,) = reading.problems
    assert (str(problem.span), problem.expected) == ("machine.cfg:3:1", "`[section]` above it")
    assert values(reading) == []


FULL = "[printer]\n[mcu]\nserial: x\n"


@pytest.mark.parametrize(
    ("files", "main"),
    [
        ({"only.cfg": ""}, "only.cfg"),
        ({"fan.cfg": "[fan]\n", "m.cfg": "[printer]\n[include fan.cfg]\n"}, "m.cfg"),
        ({"fan.cfg": "[fan]\n", "m.cfg": "[mcu]\nserial: x\n"}, "m.cfg"),
        ({"a.cfg": "[mcu]\n[printer]\n", "b.cfg": "[include a.cfg]\n[printer]\n"}, "b.cfg"),
        ({"m-20240101_120000.cfg": "[mcu]\n[printer]\n", "m.cfg": "[mcu]\n[printer]\n"}, "m.cfg"),
        ({"old/m.cfg": "[mcu]\n[printer]\n", "m.cfg": "[mcu]\n[printer]\n"}, "m.cfg"),
        (dict.fromkeys(("m.cfg", "m_old.cfg", "m2024-05-06.cfg"), "[mcu]\n[printer]\n"), "m.cfg"),
        (dict.fromkeys(("m.cfg", "m-v2.cfg", "m 2.cfg.txt"), "[mcu]\n[printer]\n"), "m.cfg"),
        (dict.fromkeys(("mill.cfg", "m.cfg"), "[mcu]\n[printer]\n"), None),
        ({"m.cfg": "[printer]\n[include *.cfg]\n", "a.cfg": "[mcu]\n"}, "m.cfg"),
        ({"printer.cfg": "[include a.cfg]\n", "a.cfg": "", "b.cfg": FULL}, "printer.cfg"),
        ({"b.cfg": "[include printer.cfg]\n[printer]\n", "printer.cfg": FULL}, "b.cfg"),
        ({"a.cfg": "[include printer.cfg]\n", "printer.cfg": "[include a.cfg]\n"}, "printer.cfg"),
        ({"old/printer.cfg": FULL, "printer.cfg": FULL, "a.cfg": FULL}, "printer.cfg"),
        ({"a/printer.cfg": FULL, "b/printer.cfg": FULL}, None),
        ({"printer-1.cfg": FULL, "my_printer.cfg": "[mcu]\n"}, "printer-1.cfg"),
        ({"m.cfg": "[printer]\n[include a.cfg]\n", "a.cfg": "[include m.cfg]\n"}, "m.cfg"),
        ({"m.cfg": "[printer]\n[include mcus.cfg]\n", "mcu.cfg": "[mcu]\n"}, "m.cfg"),
        ({"a.cfg": "[fan]\n", "b.cfg": "[probe]\n"}, None),
        ({"a.cfg": "[printer]\n", "b.cfg": "[printer]\n"}, None),
        ({}, None),
    ],
)
def test_main_file(files: dict[str, str], main: str | None) -> None:
    """The main file is the one that nobody includes and that describes a machine."""
    sources = [Source.of_text(name, text) for name, text in files.items()]
    found = section.main_file(sources)
    assert (found.name if found else None) == main


def test_several_files_without_a_main_one() -> None:
    """Parts handed over alone are all read, in the order given."""
    sources = [
        Source.of_text("b.cfg", "[fan]\npin: B\n[include c.cfg]\n"),
        Source.of_text("a.cfg", "[probe]\npin: A\n"),
        Source.of_text("c.cfg", "[fan]\nmax_power: C\n"),
    ]
    assert values(section.read(sources)) == ["b.cfg:B", "c.cfg:C", "a.cfg:A"]


def test_two_machines_are_not_mixed() -> None:
    """Only the first of two main files is read."""
    sources = [Source.of_text(f"{it}.cfg", f"[printer]\n[fan]\npin: {it}\n") for it in "ab"]
    assert values(section.read(sources)) == ["a.cfg:a"]


def test_a_file_that_could_not_be_taken_in_was_not_read() -> None:
    """It is named with the reason and the line that asks for it, and asked for in vain."""
    main = Source.of_text("machine.cfg", "[include parts/*.cfg]\n")
    sources = [main, Source.of_text("parts/a.cfg", "[fan]\npin: A\n")]
    closed = Source("parts/b.cfg", "", b"", unread="this is a PNG picture")
    reading = section.read(sources, [main], [closed])
    assert values(reading) == ["parts/a.cfg:A"]
    assert [(it.name, it.pattern, it.why) for it in reading.not_sent] == [
        ("parts/b.cfg", False, "this is a PNG picture")
    ]
    assert [str(it) for it in reading.problems] == [
        "parts/b.cfg: machine.cfg:1 asks for it, and it was not read: this is a PNG picture"
    ]
    assert section.read(sources, [main]).not_sent == ()

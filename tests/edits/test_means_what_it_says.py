"""An applied edit says what it was to say, to a reader that is not ours.

Outside checks: the C preprocessor, the standard library's `configparser`, and a scan of the script
from top to bottom in which setting a thing up anew forgets what was said of it.
"""

import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from configparser import ConfigParser
from fnmatch import fnmatchcase
from pathlib import Path
from posixpath import dirname, join, normpath

import pytest

from pincheck import api
from pincheck.claims import vocabulary
from pincheck.claims.interpretation import Interpretation
from pincheck.edits.trial import with_sources
from pincheck.respell.steps import steps_in
from pincheck.styles.step import Add, Enable, Replace, key_of, section_of

sys.path.insert(0, str(Path(__file__).parents[1] / "field"))

from plant import faults, planted

EVERY = 4
"""Share of the field's planted faults that is looked at: the suite has seconds for it."""
_NEW_FAN = {"M106": "F"}


def _defined(files: Mapping[str, str], folder: Path) -> Mapping[str, str]:
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    flags = [flag for name in files for flag in ("-include", str(folder / name))]
    run = subprocess.run(
        ["gcc", "-E", "-dM", "-undef", "-DENABLED(x)=1", "-x", "c++", *flags, "/dev/null"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    pairs = (line.removeprefix("#define ").partition(" ") for line in run.stdout.splitlines())
    return {key: " ".join(value.split()) for key, _, value in pairs}


def _whole(files: Mapping[str, str], name: str) -> Iterator[str]:
    for line in files[name].splitlines():
        found = re.match(r"\[include\s+(.+?)\]", line)
        if found is None:
            yield line
        else:
            pattern = normpath(join(dirname(name), found[1]))
            for other in sorted(it for it in files if fnmatchcase(it, pattern)):
                yield from _whole(files, other)


def _option(files: Mapping[str, str], main: str, section: str, key: str) -> str | None:
    parser = ConfigParser(
        strict=False, interpolation=None, delimiters=(":", "="), allow_no_value=True,
        inline_comment_prefixes=("#", ";"), empty_lines_in_values=False,
    )  # fmt: skip
    text = "\n".join(line for line in _whole(files, main) if not line.startswith("#*#"))
    parser.read_string(text)
    return parser.get(section, key, fallback=None)


def _letter(files: Mapping[str, str], main: str, section: str, key: str) -> str | None:
    """Return the value of a command's letter at the end of a script, calls followed."""
    command, _, which = section.partition(" ")
    value, lines = None, list(_run(files, main))
    for line in lines:
        found = re.findall(r'([A-Za-z])(\{[^}]*\}|"[^"]*"|[^\s"A-Za-z]*(?:e-?\d+)?)', line)
        words = [(letter.upper(), text) for letter, text in found]
        name = "".join(words[0]) if words else ""
        given = {letter + text for letter, text in words[1:]}
        if command in _NEW_FAN and name == "M950" and f"{_NEW_FAN[command]}{which[1:]}" in given:
            value = None if any(letter == "C" for letter, _ in words[1:]) else value
        axis = command == "M574" and any(letter == which for letter, _ in words[1:])
        if name == command and (not which or which in given or axis):
            value = next((text for letter, text in words[1:] if letter == key), value)
    return value


def _run(files: Mapping[str, str], name: str) -> Iterator[str]:
    for raw in files[name].splitlines():
        line = re.sub(r'("[^"]*")|;.*', lambda found: found[1] or "", raw).strip()
        called = re.match(r'M98\s+P"(?:(?:0:)?/sys/)?([^"]+)"', line, re.IGNORECASE)
        other = normpath(join(dirname(name), called[1])) if called else ""
        if other in files:
            yield from _run(files, other)
        elif line:
            yield line


def _read(style: str, files: Mapping[str, str], main: str, place: tuple[str, str], to: Path):
    if style == "define":
        return _defined(files, to).get(place[1])
    return (_option if style == "section" else _letter)(files, main, *place)


@pytest.mark.skipif(shutil.which("gcc") is None, reason="no C preprocessor here")
def test_what_an_edit_sets_is_what_another_reader_finds(tmp_path):
    wrong, looked_at = [], 0
    for number, fault in enumerate(list(faults())[::EVERY]):
        machine, assembly = planted(fault, tmp_path / str(number))
        result = api.check(machine, assembly)
        style = result.reading.style
        seen = Interpretation(result.reading, assembly, vocabulary(style))
        for proposal in api.propose(result):
            if not proposal.edits:
                continue
            after = with_sources(machine, [proposal])
            files = {source.name: source.text for source in after.sources}
            for step in steps_in(seen, proposal.finding.changes):
                if not isinstance(step, Replace | Add | Enable):
                    continue
                place = section_of(step), key_of(step)
                if place[0] in ("global", "var"):
                    continue  # a variable: what it is for stands elsewhere
                read = _read(style, files, after.main.name, place, tmp_path / f"{number}-c")
                looked_at += 1
                if (read or "").strip('"') != step.text.strip('"'):
                    wrong.append(
                        f"{fault.machine} {fault.name}: {place} {step.text!r}, read {read!r}"
                    )
    assert not wrong, "\n".join(wrong)
    assert looked_at > 30

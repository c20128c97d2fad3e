"""Hostile input of every kind ends in an answer that says what was not read."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hostile_cases import CASES

TOLD = {
    "file of 50 GB": "cannot be read: it is over 16 MB",
    "pipe": "it is no regular file",
    "link to a device": "it is no regular file",
    "folder of 1,900 files of 500 MB": "the file holds nothing but NUL bytes",
    "folder of 1,900 small files": "too much was handed over",
    "folder of 2,100 files": "the folder holds more than 2,000 names",
    "folder of 390 full files": "too much was handed over",
    "folders 200 deep": "there is no file in it that could be read",
    "16 MB of binary": "this is a binary file",
    "16 MB in one line": "expected a configuration of at most 1,024 kB and 20,000 lines",
    "a print job of 2 MB": "too large for a configuration, and looks like a slicer's output",
    "zip of 60,000 members": "holds more than 2,000 members",
    "zip that expands to 100 MB": "expands to more than 32 MB",
    "zip of one name 2,000 times": "is there twice: only the first of the two was read",
    "zip within zip": "this is a zip archive, not a configuration",
    "tar of 10,000 members": "holds more than 2,000 members",
    "tar of 900 links": "is a link or device; refused",
    "tar.gz of 20,000 members": "holds more than 2,000 members",
    "gzip that expands to 100 MB": "expands to more than 32 MB",
    "bzip2 that expands to 100 MB": "expands to more than 32 MB",
    "xz that expands to 100 MB": "expands to more than 32 MB",
    "xz that wants 768 MB": "Memory usage limit exceeded",
    "define: full of #/*": "this comment is never closed",
    "define: full of #define": "this #define gives no name (this line and 19899 more)",
    "define: full of #if": "conditionals are nested more than 64 deep",
    "define: full of #endif": "#endif closes no #if",
    "define: full of odd directives": "did you mean '#define'?",
    "define: one value of 1 MB": "a line has",
    "define: macros that double": "its macros come to more than 8000 characters",
    "define: a bomb in every value": "all macros together come to more than 50000 characters",
    "define: a bomb in every condition": "all macros together come to more than 50000",
    "define: long conditions": "conditions and values to be computed have more than 50000",
    "define: headers in a circle": "headers include each other without end",
    "define: 390 headers, 8 MB": "the files hold more than 20000 directives",
    "section: full of headers": "too many sections: the rest is not read",
    "section: full of keys": "too many settings: the rest is not read",
    "section: full of fans": "too many sections: the rest is not read",
    "section: full of broken lines": "more mistakes follow that are not shown",
    "section: full of merge marks": "two versions of these lines stand here, left by a merge",
    "section: includes that multiply": "too many includes: the rest is not read",
    "section: includes 100 deep": "includes nest too deep: the rest is not read",
    "section: includes in a circle": "the include goes in a circle: m.cfg -> a.cfg -> m.cfg",
    "section: full of patterns": "too many includes: the rest is not read",
    "section: full of files not sent": "too many includes: the rest is not read",
    "gcode: full of one command": "too many settings: the rest is not read",
    "gcode: full of commands": "too many different things are set: the rest is not read",
    "gcode: full of pins": "too many different things are set: the rest is not read",
    "gcode: full of broken expressions": "the expression cannot be read",
    "gcode: 500 nested blocks": "blocks nest too deep: the rest is not read",
    "gcode: scripts that multiply": "too many script calls: the rest is not read",
    "gcode: scripts in a circle": "the call goes in a circle: config.g -> a.g -> config.g",
    "wiring: one list": "more than 10000 keys and items",
    "wiring: full of brackets": "this is not TOML",
    "wiring: full of nested tables": "this line breaks off",
    "wiring: 700 pins": "connector of 700 pins; expected at most 200",
    "wiring: full of dots": "lists and tables are nested deeper than 16",
    "wiring: full of one key": "this key or table is given twice",
    "wiring: full of boards": "no part is fitted",
    "wiring: 2 MB": "larger than 128 KiB",
    "words: full of unknown keys": "did you mean 'entries'?",
    "words: 2 MB": "too large",
}
"""What a case must be told, where one sentence says it."""


@pytest.mark.parametrize("name", TOLD)
def test_every_bound_ends_in_an_answer(name: str, tmp_path: Path, run: Callable[..., Any]) -> None:
    """No case ends in a traceback or silence; what was not read is never called clean."""
    ran = run(*CASES[name](tmp_path))
    assert TOLD[name] in ran.said
    assert "internal error" not in ran.said
    assert ran.code == 2 or "not read" not in TOLD[name] or ran.code == 1

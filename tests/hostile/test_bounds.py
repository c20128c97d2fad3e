"""Hostile input of every kind ends in an answer that says what was not read."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hostile_cases import CASES

TOLD = {
    "file of 50 GB": "is too large; expected at most 16 MB",
    "pipe": "it is no regular file",
    "link to a device": "it is no regular file",
    "folder of 1,900 files of 500 MB": "the file holds nothing but NUL bytes",
    "folder of 1,900 small files": "machines here: ",
    "folder of 5,100 files": "the folder holds more than 5,000 names: nothing was read",
    "folder of 390 full files": "before this file there are more than 32 MB of text",
    "folder with 300 logs": "left out, being no configuration: logs/0.log, logs/1.log,",
    "folder with 300 texts": "left out, being no configuration: ",
    "folders 200 deep": "there is no file in it that could be read",
    "16 MB of binary": "this is a binary file",
    "16 MB in one line": "expected a configuration of at most 1,024 kB and 20,000 lines",
    "a print job of 2 MB": "too large for a configuration, and looks like a slicer's output",
    "zip of 12,000 members": "holds more than 5,000 members: nothing was read",
    "zip that expands to 100 MB": "expands to more than 32 MB",
    "zip of one name 2,000 times": "section style (2 [section] lines, 2 keys); reading starts at m",
    "zip within zip": "this is a zip archive, not a configuration",
    "tar of 10,000 members": "holds more than 5,000 members",
    "tar of 900 links": "is a link to /etc/passwd; refused",
    "tar.gz of 10,000 members": "holds more than 5,000 members",
    "gzip that expands to 100 MB": "expands to more than 32 MB",
    "bzip2 that expands to 40 MB": "expands to more than 32 MB",
    "xz that expands to 40 MB": "expands to more than 32 MB",
    "xz that wants 768 MB": "Memory usage limit exceeded",
    "define: full of #/*": "this comment is never closed",
    "define: full of #define": "this #define gives no name (this line and 14899 more)",
    "define: full of #if": "conditionals more than 64 deep",
    "define: full of #endif": "#endif closes no #if",
    "define: full of odd directives": "did you mean '#define'?",
    "define: one value of 1 MB": "a line has",
    "define: macros that double": "its macros come to more than 8000 characters",
    "define: a bomb in every value": "more than 15,000 directives",
    "define: a bomb in every condition": "macros that come to more than 50,000 characters in all",
    "define: long conditions": "conditions and values to compute of more than 35,000 characters",
    "define: many macros that double": "macros that come to more than 50,000 characters in all",
    "define: most doubts of a sensor": "more than 1,000 settings of heaters, fans, sensors, probes",
    "define: headers in a circle": "headers include each other without end",
    "define: 240 headers, 5 MB": "more than 400 files or 5 MB of configuration",
    "section: full of headers": "more than 2,000 sections",
    "section: full of keys": "more than 10,000 settings",
    "section: full of fans": "more than 10,000 settings",
    "section: full of broken lines": "more mistakes follow that are not shown",
    "section: full of merge marks": "two versions of these lines stand here, left by a merge",
    "section: includes that multiply": "more than 500 includes",
    "section: includes 100 deep": "includes more than 32 deep",
    "section: includes in a circle": "the include goes in a circle: m.cfg -> a.cfg -> m.cfg",
    "section: full of patterns": "more than 500 includes",
    "section: full of files not sent": "more than 500 includes",
    "gcode: full of one command": "more than 10,000 settings",
    "gcode: full of commands": "more than 2,000 different things are set",
    "gcode: full of pins": "more than 2,000 different things are set",
    "gcode: full of broken expressions": "more than 2,000 different things are set",
    "gcode: full of scripts not sent": "more than 500 script calls",
    "gcode: 500 nested blocks": "blocks more than 64 deep",
    "gcode: scripts that multiply": "more than 500 script calls",
    "gcode: scripts in a circle": "the call goes in a circle: config.g -> a.g -> config.g",
    "wiring: one list": "more than 10000 keys and items",
    "wiring: full of brackets": "nested deeper than 16",
    "wiring: full of nested tables": "nested deeper than 16",
    "wiring: 700 pins": "connector of 700 pins; expected at most 200",
    "wiring: full of dots": "lists and tables are nested deeper than 16",
    "wiring: full of one key": "this key is given twice",
    "wiring: full of boards": "more than 64 boards in one assembly",
    "wiring: 2 MB": "larger than 128 KiB",
    "words: full of unknown keys": "did you mean 'entries'?",
    "words: 2 MB": "too large",
}
"""What a case must be told, where one sentence says it."""


@pytest.mark.parametrize("name", TOLD)
def test_every_bound_ends_in_an_answer(name: str, tmp_path: Path, run: Callable[..., Any]) -> None:
    """No case ends in a traceback or silence; of what is too much, no part is judged."""
    ran = run(*CASES[name](tmp_path))
    assert TOLD[name] in ran.said
    assert "internal error" not in ran.said
    if "more than" in TOLD[name] and "no configuration" not in TOLD[name]:
        assert (ran.code, ran.out) == (2, "") or "its macros" in TOLD[name]

"""What a command loads: start-up is most of the time of a short command, so it loads little."""

import importlib.util
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parents[1]
NONE_OF = "import sys; from pincheck.cli.main import main; main({argv!r}); print(*sys.modules)"


@cache
def loaded_by(*argv: str) -> frozenset[str]:
    """Return the modules that a command loads in a process of its own."""
    program = NONE_OF.format(argv=list(argv))
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=CHECKOUT, capture_output=True, text=True, check=True
    )
    return frozenset(run.stdout.splitlines()[-1].split())


@pytest.mark.parametrize("style", ["define", "section", "gcode"])
def test_a_check_loads_neither_screen_nor_store_nor_device_data(style):
    """Only the reader of the style at hand is loaded, and no batch, maker or comparison."""
    modules = loaded_by("check", "--demo", "--style", style)
    assert f"pincheck.readers.{style}.{'reader' if style == 'define' else 'read'}" in modules
    others = {"define", "section", "gcode"} - {style}
    assert (
        not {f"pincheck.readers.{other}.{part}" for other in others for part in ("run", "lines")}
        & modules
    )
    foreign = {"textual", "sqlite3", "modm_devices", "tomli_w", "zipfile", "tarfile", "asyncio"}
    foreign |= {"jinja2", "markupsafe"}
    assert not foreign & modules
    rooms = {f"pincheck.{room}" for room in ("screen", "maker", "compare", "bench")}
    assert not rooms & modules
    assert "pincheck.batch.store" not in modules


def test_a_check_of_plain_files_needs_no_grammar():
    """Wiring without a mistake and the section style are read without building a parser."""
    assert "lark" not in loaded_by("check", "--demo", "--style", "section")


@pytest.mark.parametrize(
    "argv", [["--help"], ["screen", "--help"], ["rules"], ["why", "pin-differs"]]
)
def test_help_and_rules_read_nothing(argv):
    """What needs no file loads no grammar, no screen and no reader."""
    modules = loaded_by(*argv)
    assert not {"lark", "textual", "sqlite3", "modm_devices"} & modules
    assert not any(name.startswith("pincheck.readers.") for name in modules)


def test_one_command_loads_no_other():
    """A command that is asked for is the only one whose module is loaded."""
    commands = {name for name in loaded_by("rules") if name.startswith("pincheck.cli.")}
    assert commands == {f"pincheck.cli.{it}" for it in ("main", "base", "progress", "rules")}


@pytest.mark.skipif(
    importlib.util.find_spec("importlinter") is None, reason="import-linter is not installed"
)
def test_imports_point_to_a_lower_floor():
    """The contract on the floors in pyproject.toml holds."""
    program = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports())"
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=CHECKOUT, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stdout

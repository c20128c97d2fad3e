"""Wiring files and vocabularies."""

from pathlib import Path

from hostile_cases.build import Build, Words
from pincheck.model import limits

BOARD = """[board]
name = "Heron"
revision = "1"
chip = "stm32f103rct6"
supply_v = 24.0

[nets.HEAT]
chip_pin = "PC8"
switch = { side = "low", max_a = 8.0, rds_on_mohm = 6.0 }

[connectors.link]
pitch_mm = 2.54
pins = ["24V", "HEAT"]

[connectors.heater]
pins = ["24V", "HEAT"]
"""
ASSEMBLY = '[assembly]\nname = "Marsh 230"\n\n[boards]\nmain = "board.toml"\n'


def traced(assembly: str, board: str = BOARD) -> Build:
    """Trace a wiring."""

    def build(folder: Path) -> Words:
        (folder / "wiring.toml").write_text(assembly)
        (folder / "board.toml").write_text(board)
        return ["trace", "--wiring", str(folder / "wiring.toml")]

    return build


def worded(text: str) -> Build:
    """List the words of a vocabulary."""

    def build(folder: Path) -> Words:
        (folder / "words.toml").write_text(text)
        return ["words", "section", "--words", str(folder / "words.toml")]

    return build


def checked_with(words: str, text: str) -> Build:
    """Check a file of the section style against the demo's wiring, with a vocabulary."""

    def build(folder: Path) -> Words:
        (folder / "machine.cfg").write_text(text)
        (folder / "words.toml").write_text(words)
        return [
            "check",
            "--demo",
            str(folder / "machine.cfg"),
            "--words",
            str(folder / "words.toml"),
        ]

    return build


def filled(lines: str, first: str = "", last: str = "") -> str:
    """Return `lines` as often as a wiring file may hold them, `@` replaced by their number."""
    room = limits.WIRING_BYTES - len(first) - len(last)
    count = room // (len(lines) + 4 * lines.count("@"))
    return first + "".join(lines.replace("@", str(at)) for at in range(count)) + last


def _cables(count: int, to: str, wrap: bool = False) -> str:
    boards = "".join(f'b{n} = "board.toml"\n' for n in range(count))
    cables = "".join(
        f'[[cables]]\nfrom = "b{n}.link"\nto = "b{(n + 1) % count}.{to}"\n'
        for n in range(count if wrap else count - 1)
    )
    return f'[assembly]\nname = "Marsh"\n[boards]\n{boards}{cables}'


_FIT = '[fit.f@]\nrole = "hotend@.heater"\nat = "main.heater"\npart = "heater-24v-40w"\n'
_ENTRY = (
    '[[entries]]\nsection = "fan{n?}"\nkey = "k@"\nrole = "part.fan"\n'
    'attribute = "pin"\nas = "pin"\n'
)

CASES: dict[str, Build] = {
    "wiring: one list": traced(
        ASSEMBLY, filled('"24V",\n', BOARD + "[connectors.x]\npins = [", "]")
    ),
    "wiring: 700 pins": traced(
        ASSEMBLY, BOARD + "[connectors.x]\npins = [" + '"24V",' * 700 + "]\n"
    ),
    "wiring: full of brackets": traced(filled(f"x@ = {'[' * 2_000}\n", ASSEMBLY)),
    "wiring: full of nested tables": traced(filled(f"x@ = {'{a=' * 600}\n", ASSEMBLY)),
    "wiring: full of dots": traced(filled(f"{'a.' * 1_000}b@ = 1\n", ASSEMBLY)),
    "wiring: full of broken lines": traced(filled("line @ is broken\n")),
    "wiring: full of unknown keys": traced(filled("nmae@ = 1\n", ASSEMBLY)),
    "wiring: full of tables": traced(filled("[fit.f@]\n", ASSEMBLY)),
    "wiring: one open text": traced(filled("a\n", ASSEMBLY + 'x = """')),
    "wiring: full of one key": traced(filled("name = 1\n", ASSEMBLY)),
    "wiring: full of boards": traced(filled('b@ = "board.toml"\n', ASSEMBLY)),
    "wiring: full of missing boards": traced(filled('b@ = "b@.toml"\n', ASSEMBLY)),
    "wiring: full of cables": traced(
        filled('[[cables]]\nfrom = "main.link"\nto = "main.heater"\n', ASSEMBLY)
    ),
    "wiring: 1,000 boards in a row": traced(_cables(1_000, "heater")),
    "wiring: circle of 60 boards": traced(_cables(60, "heater", wrap=True)),
    "wiring: circle of 1,000 boards": traced(_cables(1_000, "heater", wrap=True)),
    "wiring: full of nets": traced(ASSEMBLY, filled('[nets.N@]\nchip_pin = "PC8"\n', BOARD)),
    "wiring: full of sockets": traced(
        ASSEMBLY, filled('[connectors.c@]\npins = ["24V", "HEAT"]\n', BOARD)
    ),
    "wiring: nets in a chain": traced(
        ASSEMBLY,
        BOARD + "".join(f'[nets.N{n}]\ndriven_by = "N{n + 1}"\n' for n in range(3_500)),
    ),
    "wiring: full of fits": traced(filled(_FIT, ASSEMBLY)),
    "wiring: 2 MB": traced("x = 1\n" * 350_000),
    "words: full of entries": worded(filled(_ENTRY, 'style = "section"\n')),
    "words: check with full entries": checked_with(
        filled(_ENTRY, 'style = "section"\n'),
        "[printer]\n[fan]\n" + "".join(f"k{n}: PA1\n" for n in range(900)),
    ),
    "words: full of unknown keys": worded(filled("entires@ = 1\n")),
    "words: full of keys, 20,000 lines": worded("".join(f"k{n} = 1\n" for n in range(19_990))),
    "words: brackets": worded("x = " + "[" * 4_000),
    "words: 2 MB": worded("x = 1\n" * 350_000),
}

"""The define style: headers of `#define` lines for a C preprocessor."""

from collections.abc import Sequence

from pincheck.model.reading import Reading
from pincheck.model.source import Source
from pincheck.styles.groups import Groups, Reached, Things
from pincheck.styles.layout import Layout
from pincheck.styles.step import Add
from pincheck.styles.style import Style

_NO_SENSOR = ("0", "false", "off", "no")


class Define(Style):
    """See `Style`."""

    __slots__ = ()
    name = "define"
    comment = "//"
    one_chip = True
    bare_gpio = True
    # Headers know these pins by two digits alone: P2_04.
    port_mark, port_digits = "_", 2
    bare_says_yes = True
    board_header = True
    files_override = False
    tables_have_pullup = True
    sensor_word = "table"

    def read(self, sources: Sequence[Source], main: Source | None) -> Reading:
        """Read headers one after another, as they are ordered: none includes all the others."""
        del main
        from pincheck.readers import define

        return define.read(sources)

    @property
    def layout(self) -> Layout:
        from pincheck.styles.define.layout import DefineLayout

        return DefineLayout()

    def groups(self, things: Things, reached: Reached, fitted: frozenset[str]) -> Groups:
        """Count the hot ends that have a kind of sensor: -1 is one, read by a chip."""
        del reached, fitted
        found = (
            int(thing)
            for thing, text in things.linked("kind of hot end sensor")
            if text.lower() not in _NO_SENSOR
        )
        return Groups({}, tuple(sorted(found)) or (0,))

    def axis(self, letter: str) -> str:
        return letter.upper()

    def written(self, add: Add) -> str:
        return f"#define {super().written(add)}"

    def lead(self, bare: str) -> str:
        return f"#{bare}"


STYLE = Define()

"""The define style: headers of `#define` lines for a C preprocessor."""

import re
from collections.abc import Collection, Iterator, Sequence

from pincheck.model.claim import PinValue
from pincheck.model.reading import Reading
from pincheck.model.source import Source
from pincheck.styles.define.renamed import NEWER, today
from pincheck.styles.files import Files
from pincheck.styles.groups import Groups, Reached, Things
from pincheck.styles.layout import Layout
from pincheck.styles.step import Add, Enable, Plan, Replace, Step, key_of
from pincheck.styles.style import Style

_NO_SENSOR = ("0", "false", "off", "no")

_LAST_CHANNEL = 15
"""Of the converter of an eight-bit chip: such numbers are meant as channels (`common practice`)."""
_ALWAYS_USED = re.compile(
    r"SDSS|LCD_SDSS|SD_DETECT_PIN|BEEPER_PIN|LCD_PINS_\w+|DOGLCD_(CS|A0|SCK|MOSI)|BTN_(EN1|EN2|ENC)"
)
"""Pins of display and card, which a header sets where they are used at all (`common practice`)."""
_END = re.compile(r"([XYZ]_)(MIN|MAX)_PIN")
_OTHER = {"MIN": "MAX", "MAX": "MIN"}


class Define(Style):
    """See `Style`."""

    __slots__ = ()
    name = "define"
    comment = "//"
    one_chip = True
    bare_gpio = True
    in_capitals = True
    # Headers know these pins by two digits alone: P2_04.
    port_mark, port_digits = "_", 2
    bare_says_yes = True
    board_header = True
    files_override = False
    tables_have_pullup = True
    sensor_word = "table"

    def read(
        self,
        sources: Sequence[Source],
        starts: Sequence[Source] = (),
        others: Sequence[Source] = (),
    ) -> Reading:
        from pincheck.readers import define

        return define.read(sources, starts, others)

    @property
    def files(self) -> Files:
        from pincheck.styles.define.files import DefineFiles

        return DefineFiles()

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

    def names_pin(self, key: str) -> bool:
        return super().names_pin(key) or self.uses_pin(key)

    def outdated(self, keys: Collection[str]) -> Iterator[tuple[str, str]]:
        if any(key.endswith(NEWER) for key in keys):
            yield from ((key, now) for key in keys if (now := today(key)) != key)

    def uses_pin(self, key: str) -> bool:
        return bool(_ALWAYS_USED.fullmatch(key))

    def withheld(self, step: Step, plan: Plan) -> Iterator[str]:
        key, text = key_of(step), getattr(step, "text", "")
        if plan.senses and text.isdecimal() and int(text) > _LAST_CHANNEL:
            yield "a plain number may mean a channel of the converter here, not a pin"
        end = _END.fullmatch(key)
        if end and isinstance(step, Add | Replace | Enable):
            yield from _other_end(f"{end[1]}{_OTHER[end[2]]}_PIN", text, plan)

    def written(self, add: Add) -> str:
        return f"#define {super().written(add)}"

    def lead(self, bare: str) -> str:
        return f"#{bare}"


def _other_end(other: str, text: str, plan: Plan) -> Iterator[str]:
    """Yield where the wired end stop is that of the other end: then the homing end is wrong."""
    said = (s.value for s in plan.active("") if s.key == other)
    set_ = next(said, plan.stock_pins.get(other, ""))
    stops = (c for c in plan.changes if c.role.endswith(".endstop"))
    pins = (c.value for c in plan.changes if isinstance(c.value, PinValue))
    wired = {pin.place.pin for pin in pins if pin.place}
    # numbers that a header gives to pins are compared as they are written
    if set_ and any(stops) and (set_ == text or {set_, text} <= wired):
        yield f"that is the end stop of the other end ({other}): home to that end instead"


STYLE = Define()

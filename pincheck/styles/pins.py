"""Pins as texts: what stands around a name, and lists of several."""

import re
from collections.abc import Iterator, Mapping
from itertools import islice, zip_longest

from attrs import evolve

from pincheck.model import limits
from pincheck.model.claim import Pull
from pincheck.model.frozen import frozen

_NEVER = re.compile(r"(?!)")


@frozen
class Written:
    """One pin taken apart as written: blanks are kept, so that joining gives the text back."""

    prefix: str
    chip: str
    colon: str
    name: str
    pull: Pull = "none"

    @property
    def inverted(self) -> bool:
        """Whether the pin's sense is turned round."""
        return "!" in self.prefix

    def __str__(self) -> str:
        return f"{self.prefix}{self.chip}{self.colon}{self.name}"


@frozen
class Piece:
    """One of several pins in a text, at `start` to `end`."""

    text: str
    start: int
    end: int


class PinText:
    """How a style writes a pin; these values are those of one that writes nothing but its name.

    `form` parts a text into prefix, chip, colon and name. `separator` stands between several
    pins, and `joint` where a pin of a thing's own joins another. `pulls` are the marks of the
    chip's own resistors; without any a style has no prefixes at all, and "!" turns no sense
    round. `absent` says that there is no pin.
    """

    __slots__ = ()
    name: str
    form = re.compile(r"(?P<prefix>)(?P<chip>)(?P<colon>)(?P<name>.*)", re.DOTALL)
    separator = _NEVER
    joint = ""
    pulls: Mapping[Pull, str] = {}
    pins_any_case = False
    """Whether a board's own names of pins may be written in capitals or small letters."""
    absent = "-1"
    main_chips: tuple[str, ...] = ("0",)
    """Names of the main board's own chip."""
    chip_colon = "."
    """What stands behind the name of another chip, where the user has none yet."""
    shared = ""
    """The name in a chip's place that stands for several pins."""
    virtual = ""
    """The pin by which an end stop's `{axis}` homes on the probe."""
    one_chip = False
    """Whether a pin can only be the main chip's."""
    numbered = False
    """Whether chips, heaters, fans and sensors go by numbers instead of names."""
    board_names_first = False
    """Whether a pin goes by the board's own name for it, whatever the user's manner elsewhere."""
    in_capitals = False
    """Whether the ports of a chip go by capitals alone: PA1, and gpio1 in small letters."""
    bare_gpio = False
    """Whether the bare number of a GPIO is a pin's name, and numbers are those of the board."""
    port_mark, port_digits = ".", 1
    """How the pins of chips with numbered ports are written: P2.4, or P2_04."""

    def parted(self, text: str) -> Written:
        """Take one pin's text apart."""
        match = self.form.fullmatch(text)
        assert match
        prefix = match["prefix"]
        pull: Pull = next((pull for pull, mark in self.pulls.items() if mark in prefix), "none")
        return Written(prefix, match["chip"] or "", match["colon"] or "", match["name"], pull)

    def pieces(self, text: str, most: int = limits.PINS) -> tuple[Piece, ...]:
        """Return every pin of a list, without surrounding blanks.

        What stands behind `most` pins makes up the last piece, which then names no pin.
        """
        return tuple(self._pieces(text, most))

    def _pieces(self, text: str, most: int) -> Iterator[Piece]:
        at = 0
        ends = [match.start() for match in islice(self.separator.finditer(text), most)]
        for end in (*ends, len(text)):
            bare = text[at:end].strip()
            start = at + text[at:end].index(bare)
            yield Piece(bare, start, start + len(bare))
            at = end + 1

    def merged(self, text: str, other: str) -> str | None:
        """Return one list of pins of two that each have no pin where the other has one.

        None where both have one at the same place.
        """
        made = []
        for one, two in zip_longest(self.pieces(text), self.pieces(other)):
            told = {it.text for it in (one, two) if it and it.text != self.absent}
            if len(told) > 1:
                return None
            made.append(told.pop() if told else self.absent)
        return self.joint.join(made) if self.joint else None

    def prefixed(self, text: str, inverted: bool, pull: Pull) -> str:
        """Return one pin's text with the prefixes for `inverted` and `pull`, in its own order.

        Of several pins the last one gets them.

        Raises:
            ValueError: the style has no prefix for it.
        """
        *before, last = self.pieces(text)
        if before:
            new = self.prefixed(last.text, inverted, pull)
            return f"{text[: last.start]}{new}{text[last.end :]}"
        written = self.parted(text)
        if (inverted, pull) == (written.inverted, written.pull):
            return text
        if not self.pulls or (pull != "none" and pull not in self.pulls):
            raise ValueError(f"the {self.name} style has no prefix for that")
        mark = self.pulls.get(pull, "")
        first_inverted = written.prefix.lstrip().startswith("!") and written.pull != "none"
        marks = ("!" * inverted + mark) if first_inverted else (mark + "!" * inverted)
        return str(evolve(written, prefix=marks, pull=pull))

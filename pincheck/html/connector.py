"""A connector drawn as one looks at it: rows, pin 1, key, wall, latch, plugged positions, nets."""

from collections.abc import Collection, Iterator, Mapping
from unicodedata import east_asian_width

from markupsafe import Markup

from pincheck.html.page import environment
from pincheck.model.frozen import frozen
from pincheck.model.printable import cut, printable
from pincheck.model.wiring import Connector, Net
from pincheck.wiring.plugs import cells

PITCH = 26
"""Distance of the pins, in the drawing's units: room for the number in the pad."""

_SIDE = 20
"""From the wall to a label: room for the mark of pin 1, the key and the latch."""

_EDGE = 18
"""From the wall to the middle of the outer pins."""

_LETTER = 7.9
"""Width of a letter of 13 units in a font of even width (0.6 of its height), and a little more."""

_LONGEST = 18
"""Letters of a name: two of them and the pins fit a phone; the table of pins has them whole."""


@frozen
class DrawnPin:
    """One pin: its place, its shape's class in the style, and what is said beside it."""

    number: int
    x: float
    y: float
    kind: str
    title: str
    marked: bool = False


@frozen
class PinLabel:
    """The names of one line of pins on one side; `end` is the side where the text ends."""

    x: float
    y: float
    text: str
    at_end: bool


@frozen
class Drawing:
    """What the template draws, in units of about a pixel; `left` to `right` are the walls."""

    connector: Connector
    width: float
    height: float
    left: float
    right: float
    pins: tuple[DrawnPin, ...]
    labels: tuple[PinLabel, ...]
    said: str
    plug_face: bool

    @property
    def wall(self) -> bool:
        """Whether a wall stands round the pins."""
        return has_wall(self.connector)

    @property
    def middle(self) -> float:
        """Half way down the wall."""
        return self.height / 2


def has_wall(connector: Connector) -> bool:
    """Whether a wall round the pins is stated, as such or with the key."""
    return connector.shroud or (bool(connector.keyed) and connector.shroud is None)


def draw_connector(
    connector: Connector,
    nets: Mapping[str, Net] | None = None,
    *,
    plug_face: bool = False,
    marked: Collection[int] = (),
) -> Markup:
    """Return a connector as a `figure` with an inline drawing and a line on what is seen.

    Seen is the board's side, looking at its pins; with `plug_face` the open face of the plug, which
    is its mirror image. `nets` tell rails and grounds apart, `marked` pins are ringed.
    """
    return Markup(
        environment()
        .get_template("connector.html")
        .render(at=_drawing(connector, nets or {}, plug_face, marked))
    )


def _drawing(
    connector: Connector, nets: Mapping[str, Net], plug_face: bool, marked: Collection[int]
) -> Drawing:
    at = cells(connector)
    lines = max((column for column, _ in at), default=0) + 1
    # The columns of names: that of the first half of the rows on the left, the rest on the right.
    # A single row has its names on the right, where there is no key.
    texts: dict[tuple[int, bool], list[str]] = {}
    for number, (line, row) in enumerate(at, 1):
        first = connector.rows > 1 and row < connector.rows // 2
        texts.setdefault((line, first != plug_face), []).append(_name(connector, number))
    if plug_face:
        texts = {key: names[::-1] for key, names in texts.items()}
    sides = {
        left: [" | ".join(texts.get((n, left), ())) for n in range(lines)] for left in (True, False)
    }
    room = {left: max(map(_width, names)) for left, names in sides.items()}
    left = room[True] + _SIDE + 4
    right = left + 2 * _EDGE + (connector.rows - 1) * PITCH
    labels = [
        PinLabel(left - _SIDE if on_left else right + _SIDE, _y(n), text, on_left)
        for on_left, names in sides.items()
        for n, text in enumerate(names)
        if text
    ]
    pins = []
    for number, (line, row) in enumerate(at, 1):
        across = connector.rows - 1 - row if plug_face else row
        net = connector.pins[number - 1]
        pins.append(
            DrawnPin(
                number,
                left + _EDGE + across * PITCH,
                _y(line),
                _kind(connector, number, nets.get(net)),
                f"pin {number}: {printable(net) or _nothing(connector, number)}",
                number in marked,
            )
        )
    return Drawing(
        connector,
        right + _SIDE + 4 + room[False],
        2 * (_EDGE + 4) + (lines - 1) * PITCH,
        left,
        right,
        tuple(pins),
        tuple(labels),
        ", ".join(_said(connector, lines)),
        plug_face,
    )


def _y(line: int) -> float:
    return 4 + _EDGE + line * PITCH


def _width(text: str) -> float:
    return sum(2 if east_asian_width(letter) in "WF" else 1 for letter in text) * _LETTER


def _name(connector: Connector, number: int) -> str:
    net = printable(connector.pins[number - 1])
    return cut(net, _LONGEST) if net else _nothing(connector, number)


def _nothing(connector: Connector, number: int) -> str:
    return "plugged" if number in connector.plugged else "not connected"


def _kind(connector: Connector, number: int, net: Net | None) -> str:
    if number in connector.plugged:
        return "plugged"
    if not connector.pins[number - 1]:
        return "open"
    if net is None or not net.is_rail:
        return "signal"
    return "ground" if net.is_ground else "rail"


def _said(connector: Connector, lines: int) -> Iterator[str]:
    yield f"{connector.rows} x {lines} pins"
    if connector.pitch_mm:
        yield f"{connector.pitch_mm:g} mm pitch"
    yield {True: "keyed", False: "not keyed", None: "key not stated"}[connector.keyed]
    yield "with a wall" if has_wall(connector) else "no wall stated"
    if connector.latch:
        yield "with a latch"
    if connector.coding:
        yield f"coding {printable(connector.coding)}"
    if connector.contact_a:
        yield f"{connector.contact_a:g} A a contact"

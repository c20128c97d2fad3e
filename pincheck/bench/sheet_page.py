"""The first-power-on sheet as a page to print, with the connectors drawn."""

from collections.abc import Iterator

from markupsafe import Markup

from pincheck.bench import sheet
from pincheck.bench.record import STOP, WalkRecord
from pincheck.html import draw_connector, render
from pincheck.model.frozen import frozen
from pincheck.wiring.copper import Copper


@frozen
class Drawn:
    """A connector that a probe goes to, its measured pins ringed."""

    board: str
    picture: Markup


def page(record: WalkRecord) -> str:
    """Return the sheet as one HTML file that needs nothing beside it."""
    return render(
        "sheet.html",
        title=sheet.title(record),
        lead=tuple(sheet.lead(record)),
        phases=tuple(sheet.phases(record)),
        pulled=tuple(_drawings(record, "off")),
        fitted=tuple(_drawings(record, "on")),
        stop=STOP,
        stops=record.stops,
    )


def _drawings(record: WalkRecord, power: str) -> Iterator[Drawn]:
    """Yield each connector of the steps: the plug with the power off, else the board's side."""
    copper = Copper(record.result.assembly)
    boards = record.result.assembly.boards
    by_label = {copper.label(key): boards[key] for key in boards}
    marked: dict[tuple[str, str], set[int]] = {}
    for step in record.steps:
        for point in step.points if step.power == power else ():
            marked.setdefault((point.board, point.connector), set()).update(point.pins)
    for (label, name), pins in marked.items():
        board = by_label[label]
        picture = draw_connector(
            board.connectors[name], board.nets, plug_face=power == "off", marked=pins
        )
        yield Drawn(label, picture)

"""Netlists of whole boards as a layout program would export them."""

from pincheck.model.wiring import Board
from pincheck.wiring.plugs import cells


def point(net: str, reference: str, pin: str, x: int = 0, y: int = 0, code: str = "317") -> str:
    """Return one record; x and y in 0.0001 inch."""
    return f"{code}{net:<14}   {reference:<6}-{pin:<4} D0400PA00X{x:+07d}Y{y:+07d}"


def exported(board: Board, *more: str) -> str:
    """Return a board's connectors as J1, J2.. in the order of its file, where its pins stand."""
    lines, x = ["P  JOB   Test", "P  UNITS CUST 0"], 1000
    for number, connector in enumerate(board.connectors.values(), 1):
        pitch = round((connector.pitch_mm or 2.54) / 0.00254)
        for pin, (column, row) in enumerate(cells(connector), 1):
            net = connector.pins[pin - 1] or "N/C"
            lines.append(point(net, f"J{number}", str(pin), x + column * pitch, 5000 + row * pitch))
        x += 40 * pitch
    return "\n".join([*lines, *more, "999"]) + "\n"

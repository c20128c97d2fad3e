"""The few drawn characters, in line graphics or in plain ASCII."""

from attrs import frozen


@frozen
class Glyphs:
    """What boxes, chains, plots and ticks are drawn with; one column each."""

    ascii_only: bool
    across: str
    down: str
    corners: str
    """Top left, top right, bottom left, bottom right."""
    start: str
    link: str
    end: str
    arrow: str
    curves: str
    """One for each series of a plot."""
    limit: str
    axis_down: str
    axis_across: str
    axis_corner: str
    done: str

    def shown(self, text: str) -> str:
        """Return `text` with what cannot be drawn replaced, as long as before."""
        return text.encode("ascii", "replace").decode() if self.ascii_only else text


LINES = Glyphs(False, "─", "│", "┌┐└┘", "●", "│", "■", "→", "•○+", "╌", "│", "─", "└", "✓")
PLAIN = Glyphs(True, "-", "|", "++++", "o", "|", "#", ">", "*o+", "-", "|", "-", "+", "x")

"""The few drawn characters, in line graphics or in plain ASCII."""

from pincheck.model.frozen import frozen
from pincheck.model.printable import printable


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
    curves: str
    """One for each series of a plot."""
    limit: str
    axis_across: str
    axis_corner: str
    done: str
    above: str
    below: str

    def shown(self, text: str) -> str:
        """Return `text` free of what a terminal must not see, and in ASCII where asked."""
        safe = printable(text)
        return safe.encode("ascii", "replace").decode() if self.ascii_only else safe


LINES = Glyphs(
    ascii_only=False,
    across="─",
    down="│",
    corners="┌┐└┘",
    start="●",
    link="│",
    end="■",
    curves="•○",
    limit="╌",
    axis_across="─",
    axis_corner="└",
    done="✓",
    above="▲",
    below="▼",
)
PLAIN = Glyphs(
    ascii_only=True,
    across="-",
    down="|",
    corners="++++",
    start="o",
    link="|",
    end="#",
    curves="*o",
    limit="-",
    axis_across="-",
    axis_corner="+",
    done="x",
    above="^",
    below="v",
)

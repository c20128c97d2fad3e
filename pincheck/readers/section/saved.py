"""The saved block: values that the firmware itself wrote behind the main file's text."""

import re

from pincheck.model.frozen import frozen
from pincheck.model.setting import Activity
from pincheck.model.source import Source
from pincheck.readers.mistakes import Mistake

_MARK = re.compile(
    r"^#\*#[^\S\n]*<-+ *SAVE_CONFIG *-+>[^\n]*(?:\n#\*# DO NOT EDIT[^\n]*)?", re.MULTILINE
)
_PREFIX = re.compile(r"^#\*#(?: |(?=\s|\Z))", re.MULTILINE)
_FOREIGN = re.compile(r"^(?!#\*#(?:\s|\Z))[^\S\n]*[^\s][^\n]*", re.MULTILINE)
_NOT_READ = "the firmware takes the saved block although "


@frozen
class Saved:
    """Where the saved block is, and whether the firmware will take it.

    `text` is the whole file's text with the marks of the block blanked out, so that offsets
    stay. A block that was changed by hand is one big comment to the firmware: its values are
    then only `POSSIBLE`, `mistake` says why, at the offsets `mistake_at` to `mistake_end`.
    """

    start: int
    end: int
    text: str
    activity: Activity = Activity.ACTIVE
    condition: str = ""
    mistake: Mistake | None = None
    mistake_at: int = 0
    mistake_end: int = 0


def find(source: Source) -> Saved | None:
    """Return the saved block of a main file, None where it has none."""
    text = source.text
    mark = _MARK.search(text)
    if mark is None:
        return None
    foreign = _FOREIGN.search(text, mark.end() + 1)
    second = _MARK.search(text, mark.end())
    end = foreign.start() if foreign else len(text)
    blanked = _PREFIX.sub(lambda prefix: " " * len(prefix[0]), text[mark.end() : end])
    block = text[: mark.end()] + blanked + text[end:]
    if second and second.start() < end:
        why, at, stop = "its mark stands there twice", second.start(), second.end()
    elif foreign:
        why, at, stop = "other text follows it", foreign.start(), foreign.end()
    else:
        return Saved(mark.end(), end, block)
    mistake = Mistake(
        0, f"the firmware will not read the saved block: {why}", "the saved block last, as written"
    )
    return Saved(mark.end(), end, block, Activity.POSSIBLE, _NOT_READ + why, mistake, at, stop)

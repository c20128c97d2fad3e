"""What became of a reference's spoilt lines, as text."""

from collections.abc import Iterator

from pincheck.maker.proof import Proof, Spoilt
from pincheck.model.printable import printable
from pincheck.reports.sentences import plural
from pincheck.reports.text import wrap

_TOLD = {
    "found": "named in a finding",
    "elsewhere": "told at another line",
    "not checked": "only not checked",
    "the same": "the same to the firmware, or judged without it",
    "yours": "your own choice within what the parts stand",
    "unseen": "UNSEEN",
}


def lines(found: Proof) -> Iterator[str]:
    """Yield the count of each outcome, then every spoilt line that goes unseen."""
    lines_ = len({one.setting.start for one in found.spoilt})
    counts = ", ".join(f"{found.counts[seen]} {told}" for seen, told in _TOLD.items())
    style = found.reference.style
    of = f"{plural(lines_, 'setting')}, spoilt in {len(found.spoilt)} ways"
    yield from wrap(f"{style} style: {of}: {counts}.")
    yield from (f"  {_line(one)}" for one in found.unseen)


def _line(one: Spoilt) -> str:
    at = f"{one.setting.source.name}:{one.setting.span.line}"
    became = "removed" if one.new is None else f"{one.how}: {one.new}"
    return printable(f"{at}  {one.setting.name} {one.setting.value}  {became}")

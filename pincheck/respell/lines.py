"""Steps in the user's spelling to replacements of characters in the user's files."""

from collections.abc import Iterable, Iterator

from pincheck import styles
from pincheck.model.finding import Edit
from pincheck.model.reading import Reading
from pincheck.styles.step import Add, Disable, Enable, Replace, Retire, Step


def edits(steps: Iterable[Step], reading: Reading) -> Iterator[Edit]:
    """Yield the edits that carry out the steps; what is put in at one place is one edit.

    Edits at one place would have no order of their own.
    """
    put_in: dict[tuple[str, int], str] = {}
    # what two letters of one command need is done once
    for edit in dict.fromkeys(_placed(steps, reading)):
        if edit.start < edit.end:
            yield edit
            continue
        at = edit.source, edit.start
        put_in[at] = put_in.get(at, "") + edit.replacement
    for (source, start), text in put_in.items():
        yield Edit(source, start, start, text)


def _placed(steps: Iterable[Step], reading: Reading) -> Iterator[Edit]:
    style = styles.of(reading.style)
    new: dict[str, list[Add]] = {}
    for step in steps:
        match step:
            case Replace(setting, text):
                yield style.replaced(setting, text)
            case Enable(setting, text):
                yield from style.enabled(setting, text)
            case Disable(setting):
                yield style.disabled(setting)
            case Retire(setting):
                yield style.commented(setting)
            case Add(after=after) if after and step.joins:
                yield style.joined(step, after)
            case Add():
                new.setdefault(step.section, []).append(step)
    for adds in sorted(new.values(), key=lambda adds: not style.creates(adds[0].section)):
        yield style.block(adds, reading)

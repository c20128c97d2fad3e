"""What a configuration that fits one revision has to change to fit another, style by style."""

from collections.abc import Iterator

from pincheck import styles
from pincheck.claims import Vocabulary, Words
from pincheck.maker.reference import reference
from pincheck.maker.want import CannotExpressError
from pincheck.model.frozen import frozen
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.wiring import Assembly
from pincheck.styles.layout import ReferenceLine


@frozen
class LineEdit:
    """One setting: `before` is what a reference of the first revision says, `after` the second.

    Empty where the setting is not there. `place` is the section or command, empty in the define
    style.
    """

    place: str
    before: str
    after: str
    roles: tuple[str, ...]


@frozen
class StyleEdits:
    """The edit that one style needs.

    `blocked` says why there is no reference to compare; `never` that there was none for the
    first revision either, so that no configuration can be lost.
    """

    style: StyleName
    edits: tuple[LineEdit, ...] = ()
    blocked: str = ""
    never: bool = False

    @property
    def drop_in(self) -> bool:
        """Whether a configuration of the first revision fits the second as it is."""
        return not self.edits and not self.blocked

    @property
    def breaks(self) -> bool:
        """Whether a configuration of the first revision cannot stay as it is."""
        return bool(self.edits) or (bool(self.blocked) and not self.never)


def style_edits(
    before: Assembly, after: Assembly, words: Words | None = None
) -> Iterator[StyleEdits]:
    """Yield the edit of each style, from the references of both revisions."""
    own = words or {}
    for style in STYLES:
        old, new = (_lines(side, style, own.get(style)) for side in (before, after))
        if isinstance(old, str) or isinstance(new, str):
            blocked = next(side for side in (old, new) if isinstance(side, str))
            yield StyleEdits(style, blocked=blocked, never=isinstance(old, str))
        else:
            yield StyleEdits(style, tuple(_edits(style, old, new)))


def _lines(
    assembly: Assembly, style: StyleName, words: Vocabulary | None
) -> tuple[ReferenceLine, ...] | str:
    """Return the lines of a reference, or why there is none."""
    try:
        return reference(assembly, style, words).lines
    except CannotExpressError as error:
        return str(error)


def _edits(
    style: StyleName, old: tuple[ReferenceLine, ...], new: tuple[ReferenceLine, ...]
) -> Iterator[LineEdit]:
    was, is_ = (
        {(line.section, line.key): line for line in side if line.key} for side in (old, new)
    )
    for key in dict.fromkeys((*was, *is_)):
        one, other = was.get(key), is_.get(key)
        if one and other and one.text == other.text:
            continue
        roles = dict.fromkeys(role for line in (one, other) if line for role in line.roles)
        yield LineEdit(key[0], _text(style, one), _text(style, other), tuple(roles))


def _text(style: StyleName, line: ReferenceLine | None) -> str:
    return styles.of(style).layout.line(line) if line else ""

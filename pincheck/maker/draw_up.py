"""Wants and a layout to the lines of a reference configuration."""

from collections.abc import Iterable, Iterator, Mapping
from functools import partial

from attrs import evolve

from pincheck import styles
from pincheck.analysis import polarity, roles
from pincheck.analysis.case import Case
from pincheck.analysis.pairings import home
from pincheck.claims.build import claims
from pincheck.claims.entry import Vocabulary
from pincheck.claims.interpretation import Interpretation
from pincheck.maker.choices import TURNS, is_yours
from pincheck.maker.motors import current_a, driver_type
from pincheck.maker.says import says
from pincheck.maker.sensors import converter_word
from pincheck.maker.want import CannotExpressError, Want
from pincheck.model.claim import PinValue, Pull
from pincheck.model.finding import Change
from pincheck.model.path import Trace
from pincheck.model.reading import Reading
from pincheck.model.source import Source
from pincheck.model.wiring import Assembly
from pincheck.respell.pins import spell
from pincheck.respell.steps import steps
from pincheck.styles import Style
from pincheck.styles.layout import Ground, Layout, LayoutRow, ReferenceLine
from pincheck.styles.step import Add, CannotSpellError

SettingKey = tuple[str, str]
"""(section, key)."""


def drawn_up(
    assembly: Assembly,
    trace: Trace,
    words: Vocabulary,
    wants: tuple[Want, ...],
    *,
    older: bool = False,
) -> tuple[tuple[ReferenceLine, ...], tuple[str, ...]]:
    """Return the lines in their order, each said once, and what has to go beside them.

    With `older` keys are spelt as releases before the current ones do.

    Raises:
        CannotExpressError: two parts want one shared setting different, or the layout says why.
    """
    layout = styles.of(words.style).layout
    empty = Interpretation(Reading(words.style, (), ()), assembly, words)
    try:
        ground = _ground(assembly, trace, empty)
        rows = tuple(layout.rows(ground))
    except CannotSpellError as error:
        raise CannotExpressError(str(error)) from None
    frame = _frame(words, layout, rows)
    filled = _filled(assembly, frame, words, wants)
    filled = {key: _marked(words, line) for key, line in filled.items()}
    lines = [_line(layout, words, row, filled) for row in rows]
    placed = {(row.section, row.key) for row in rows}
    for key, line in filled.items():
        if key not in placed:
            at = [n for n, row in enumerate(rows) if row.section == key[0] != ""]
            lines.insert(at[-1] + 1 if at else len(lines), evolve(line, file=layout.files[0]))
    made = tuple(_without_bare([line for line in lines if line]))
    made = made if older else tuple(map(layout.newer, made))
    return made, tuple(layout.goes(ground, {line.key: line.text for line in made}))


def _ground(assembly: Assembly, trace: Trace, empty: Interpretation) -> Ground:
    return Ground(
        assembly,
        trace,
        homes={wired.role: place for wired in trace.wired if (place := home(wired))},
        name=roles.name,
        inputs=tuple(filter(polarity.reads_input, trace.wired)),
        pull_needed=polarity.pull_needed,
        converter_word=lambda role: converter_word(trace.find(role), empty.style.name),
        driver_type=partial(driver_type, trace),
        current_a=partial(current_a, trace),
        spell=lambda value: spell(empty.pins, value, ""),
    )


def _frame(words: Vocabulary, layout: Layout, rows: tuple[LayoutRow, ...]) -> Reading:
    """Return the reading of what stands in the layout whatever the copper is.

    It lacks one key of the evidence: with all of it, keys still to come would count as unset.
    """
    incomplete = words.evidence[-1:]
    fixed = [
        ReferenceLine(row.file or layout.files[0], row.section, row.key, row.text or "")
        for row in rows
        if row.text is not None or (row.section and not row.key)
        if row.key not in incomplete
    ]
    sources = tuple(
        Source.of_text(file, "\n".join(layout.plain(it for it in fixed if it.file == file)))
        for file in layout.files
    )
    return styles.of(words.style).read(sources)


def _filled(
    assembly: Assembly, frame: Reading, words: Vocabulary, wants: tuple[Want, ...]
) -> Mapping[SettingKey, ReferenceLine]:
    said: dict[SettingKey, ReferenceLine] = {}
    style = styles.of(frame.style)
    case = Case(claims(frame, assembly, words), Trace(()), assembly)
    signs = {(w.role, w.attribute): w for w in wants if w.attribute in ("inverted", "pull")}
    for want in wants:
        prefixed = (want.role, want.attribute) in signs and style.pulls
        for add in () if prefixed or _stands(case, want) else _adds(assembly, frame, words, want):
            text, whys = add.text, [want.why]
            if isinstance(want.value, PinValue) and style.pulls:
                text, whys = _prefixed(style, text, want, signs)
            key = add.section, add.key
            line = ReferenceLine("", *key, text, tuple(whys), (want.role,))
            said[key] = _both(style, said[key], line) if key in said else line
    return said


def _stands(case: Case, want: Want) -> bool:
    """Return whether a line of the layout says it already."""
    claim = case.claims.find(want.role, want.attribute)
    return claim is not None and claim.setting is not None and says(case, want)


def _adds(assembly: Assembly, frame: Reading, words: Vocabulary, want: Want) -> Iterator[Add]:
    """Yield the new settings that say it; nothing where the frame does or the style cannot."""
    try:
        found = steps((Change(want.role, want.attribute, want.value),), frame, assembly, words)
    except CannotSpellError:
        return
    yield from (step for step in found if isinstance(step, Add))


def _prefixed(
    style: Style, text: str, want: Want, signs: Mapping[tuple[str, str], Want]
) -> tuple[str, list[str]]:
    inverted, pull = signs.get((want.role, "inverted")), signs.get((want.role, "pull"))
    bare, quote = text.strip('"'), '"' * text.startswith('"')
    how: Pull = "none"
    if pull and pull.value in ("up", "down"):
        how = "up" if pull.value == "up" else "down"
    try:
        new = style.prefixed(bare, bool(inverted and inverted.value), how)
    except ValueError as error:
        raise CannotExpressError(f"{want.role}: {error}") from None
    said = [want.why, *(sign.why for sign in (inverted, pull) if sign and sign.value)]
    return f"{quote}{new}{quote}", said


def _both(style: Style, one: ReferenceLine, other: ReferenceLine) -> ReferenceLine:
    """Return one line of two that set the same key: equal, or each another pin of a list."""
    bare = [line.text.strip('"') for line in (one, other)]
    text = bare[0] if bare[0] == bare[1] else style.merged(*bare)
    if text is None:
        raise CannotExpressError(
            f"{other.roles[0]} needs {one.key} {other.text}, {one.roles[0]} needs {one.text}: "
            f"the {style.name} style has one setting for both"
        )
    return evolve(
        one,
        text=one.text.replace(bare[0], text) if bare[0] else one.text,
        whys=tuple(dict.fromkeys((*one.whys, *other.whys))),
        roles=tuple(dict.fromkeys((*one.roles, *other.roles))),
    )


def _marked(words: Vocabulary, line: ReferenceLine) -> ReferenceLine:
    """Return a line with the mark of the user's own choice, where it is one."""
    turns = line.key == TURNS
    return evolve(line, yours=turns or is_yours(words, line.section, line.key))


def _line(
    layout: Layout, words: Vocabulary, row: LayoutRow, filled: Mapping[SettingKey, ReferenceLine]
) -> ReferenceLine | None:
    file = row.file or layout.files[0]
    if not row.key:
        return ReferenceLine(file, row.section, "", whys=(row.why,))
    found = filled.get((row.section, row.key))
    if row.text is None:
        return evolve(found, file=file) if found else None
    line = ReferenceLine(file, row.section, row.key, row.text, (row.why,) if row.why else ())
    return _marked(words, line)


def _without_bare(lines: list[ReferenceLine]) -> Iterator[ReferenceLine]:
    """Yield the lines without headings that nothing stands under."""
    for at, line in enumerate(lines):
        following = lines[at + 1] if at + 1 < len(lines) else None
        bare = not following or not following.key or following.file != line.file
        if line.key or line.section or not bare:
            yield line


def rendered(
    layout: Layout, lines: Iterable[ReferenceLine], head: Iterable[str]
) -> tuple[Source, ...]:
    """Return the files, the main one first, every line ending with a line feed."""
    lines, head = tuple(lines), tuple(head)
    return tuple(
        Source.of_text(file, "".join(f"{text}\n" for text in _file(layout, own, head)))
        for file in layout.files
        if (own := [line for line in lines if line.file == file])
    )


def _file(layout: Layout, lines: list[ReferenceLine], head: tuple[str, ...]) -> Iterator[str]:
    for sentence in head:
        yield from layout.remarks(sentence)
    yield from layout.body(lines)

"""Vocabulary files to vocabularies: the built-in ones, and a user's own for a fork."""

import re
from collections.abc import Mapping, Sequence
from functools import cache
from itertools import islice
from typing import Any

from attrs import evolve

from pincheck import resources, styles
from pincheck.claims.entry import Entry, Vocabulary, Words
from pincheck.claims.mistakes import mistakes
from pincheck.model import limits
from pincheck.model.nearest import nearest
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.source import Source, Span
from pincheck.toml.document import Document, parse

_ROW = re.compile(r"^    (\{.*\}),$", re.MULTILINE)
"""An entry of a built-in file, which stands on a line of its own; entries stand before doubts."""


def vocabulary(style: StyleName, extra: Sequence[Source] = ()) -> Vocabulary:
    """Return the vocabulary of a style, with a user's own files added.

    An entry of a user's file replaces every earlier one that says the same of the same section
    and key; the rest of the file adds to what is there.

    Raises:
        UnreadableError: with every mistake in the files, each with its place.
    """
    made = _built_in(style)
    problems: list[Problem] = []
    for source in extra:
        try:
            document = parse(source)
        except UnreadableError as error:
            problems += error.problems
            continue
        found = tuple(islice(mistakes(document, style, made.conditions), limits.WIRING_PROBLEMS))
        problems += found
        if not found:
            count = len(document.values.get("entries", ()))
            spans = [document.value(("entries", number)) for number in range(count)]
            made = _joined(made, _vocabulary(document.values, style, spans))
    if problems:
        raise UnreadableError(tuple(problems))
    return made


def vocabularies(extra: Sequence[Source]) -> Words:
    """Return the vocabulary of every style, each of a user's files added to the style it states.

    Raises:
        UnreadableError: with every mistake in the files; one that states no style is a mistake.
    """
    by_style: dict[StyleName, list[Source]] = {style: [] for style in STYLES}
    problems: list[Problem] = []
    for source in extra:
        try:
            style = _stated(parse(source))
        except UnreadableError as error:
            problems += error.problems
        else:
            by_style[style].append(source)
    made = {}
    for style, sources in by_style.items():
        try:
            made[style] = vocabulary(style, sources)
        except UnreadableError as error:
            problems += error.problems
    if problems:
        raise UnreadableError(tuple(problems))
    return made


def _stated(document: Document) -> StyleName:
    """Return the style that a file states.

    Raises:
        UnreadableError: it states none.
    """
    written = document.values.get("style")
    for style in STYLES:
        if written == style:
            return style
    message = "which style is this vocabulary of?"
    near = nearest(str(written), STYLES) if written else ""
    expected = "style = " + " or ".join(f'"{style}"' for style in STYLES)
    raise UnreadableError((document.problem(("style",), message, expected=expected, nearest=near),))


@cache
def _built_in(style: StyleName) -> Vocabulary:
    """Return a built-in vocabulary: the tests check it, so no time goes into mistakes."""
    path = styles.of(style).vocabulary
    source = Source.of_text(path.name, path.read_text(encoding="utf-8"))
    rows = _ROW.finditer(source.text)
    return _vocabulary(
        resources.table(path), style, [source.span(row.start(1), row.end(1)) for row in rows]
    )


def _joined(old: Vocabulary, new: Vocabulary) -> Vocabulary:
    replaced = {_identity(entry) for entry in new.entries}
    kept = (entry for entry in old.entries if _identity(entry) not in replaced)
    names = {group: (*old.names.get(group, ()), *words) for group, words in new.names.items()}
    return evolve(
        old,
        # first: where two names say the same, the fork's own is what its firmware reads
        entries=(*new.entries, *kept),
        relevant=(*old.relevant, *new.relevant),
        ignored=(*old.ignored, *new.ignored),
        evidence=new.evidence or old.evidence,
        required=(*old.required, *new.required),
        names={**old.names, **names},
        doubts=(*old.doubts, *new.doubts),
        conditions={**old.conditions, **new.conditions},
        apart=(*old.apart, *new.apart),
    )


def _identity(entry: Entry) -> tuple[str, ...]:
    """Return what two entries share if the later one replaces the other."""
    says = (entry.attribute, entry.figure, entry.link)
    return (entry.section.lower(), entry.key.lower(), str(entry.nth), *says)


def _vocabulary(values: Mapping[str, Any], style: StyleName, places: Sequence[Span]) -> Vocabulary:
    rows = values.get("entries", ())
    return Vocabulary(
        style=style,
        entries=tuple(_entry(row, at) for row, at in zip(rows, places, strict=False)),
        relevant=tuple(values.get("relevant", ())),
        ignored=tuple(values.get("ignored", ())),
        evidence=tuple(values.get("evidence", ())),
        required=tuple(values.get("required", ())),
        apart=tuple(values.get("apart", ())),
        names={group: tuple(words) for group, words in values.get("names", {}).items()},
        conditions={name: tuple(needs) for name, needs in values.get("conditions", {}).items()},
        doubts=tuple(
            (row["attribute"], row["reason"], row.get("unless", ""))
            for row in values.get("doubts", ())
        ),
    )


def _entry(row: Mapping[str, Any], at: Span) -> Entry:
    fields = {"read_as" if name == "as" else name: value for name, value in row.items()}
    for name in ("needs", "beside"):
        if name in fields:
            fields[name] = tuple(fields[name])
    return Entry(**fields, at=at)

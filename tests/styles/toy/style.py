"""A fourth style, made of this folder alone: a grammar, a vocabulary, a reader and an object."""

import re
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

from attrs import evolve
from lark import Lark, UnexpectedInput

from pincheck.model.problem import Problem
from pincheck.model.reading import Reading
from pincheck.model.setting import Activity, Setting
from pincheck.model.source import Source
from pincheck.styles import Style
from pincheck.styles.files import Files
from pincheck.styles.groups import Groups, Reached, Things
from pincheck.styles.layout import Ground, Layout, LayoutRow, ReferenceLine
from pincheck.styles.step import Add

HERE = Path(__file__).parent


@cache
def grammar() -> Lark:
    """Return the parser of one file."""
    return Lark((HERE / "toy.lark").read_text(), parser="lalr", propagate_positions=True)


def read(sources: Sequence[Source], main: Source | None) -> Reading:
    """Return the settings of all files, the main one's first; the last of a key counts."""
    settings: list[Setting] = []
    problems: list[Problem] = []
    for source in sorted(sources, key=lambda source: source is not main):
        try:
            settings += _settings(source)
        except UnexpectedInput as error:
            at = error.pos_in_stream or 0
            span = source.span(at, at)
            problems.append(Problem(source.name, "no such line", span, source.line(span.line)))
    winners = {s.key: s for s in settings if s.activity is Activity.ACTIVE}
    lost = {id(s): winners[s.key] for s in settings
            if s.activity is Activity.ACTIVE and winners[s.key] is not s}  # fmt: skip
    disabled = [evolve(s, activity=Activity.DISABLED) if id(s) in lost else s for s in settings]
    pairs = tuple((d, lost[id(s)]) for s, d in zip(settings, disabled, strict=True) if d is not s)
    return Reading("toy", tuple(sources), tuple(disabled), pairs, (), tuple(problems))


def _settings(source: Source) -> Iterator[Setting]:
    for line in grammar().parse(source.text).children:
        key, *rest = ((str(token), token.start_pos, token.end_pos) for token in line.children)
        value, first, last = rest[0] if rest else ("", key[2], key[2])
        active = line.data == "setting"
        start = key[1] if active else source.text.rfind("--", 0, key[1])
        activity = Activity.ACTIVE if active else Activity.COMMENTED
        at = start, last, *key[1:], first, last
        yield Setting("toy", source, "", key[0], value, *at, activity)


class ToyFiles(Files):
    """Signs of the style: its arrow, and the line that only a main file has."""

    shown = "lines with an arrow"
    begins = "--|[a-z]+[0-9]*[.]"
    any = re.compile(r"^[ \t-]*[a-z]+\d*\.[a-z]+\.[a-z_]+ <-", re.M)
    main = re.compile(r"^machine\.name\.is <-", re.M)


class Toy(Style):
    """What the others ask of the style."""

    name = "toy"
    comment = "-- "
    form = re.compile(r"(?P<prefix>[!+]*)(?P<chip>)(?P<colon>)(?P<name>.*)", re.DOTALL)
    pulls = {"up": "+"}
    absent = "none"
    virtual = "probe:{axis}_virtual_endstop"
    vocabulary = HERE / "toy.toml"
    sensor_words = {"glass": "ntc-100k-b4267-glass", "bead": "ntc-100k-b3950"}

    def read(
        self,
        sources: Sequence[Source],
        starts: Sequence[Source] = (),
        others: Sequence[Source] = (),
    ) -> Reading:
        del others
        return read(sources, starts[0] if starts else None)

    @property
    def files(self) -> Files:
        return ToyFiles()

    @property
    def layout(self) -> Layout:
        return ToyLayout()

    def groups(self, things: Things, reached: Reached, fitted: frozenset[str]) -> Groups:
        del things, reached, fitted
        return Groups({("heater", name): (name, 0) for name in ("hotend", "bed")})

    def written(self, add: Add) -> str:
        return f"{add.key} <- {add.text}"


class ToyLayout(Layout):
    """One file, its lines in the order of the vocabulary."""

    files = ("reference.toy",)
    mark = "--"
    use = "Read this file first."

    def rows(self, ground: Ground) -> Iterator[LayoutRow]:
        del ground
        yield LayoutRow("", "machine.name.is", "reference")
        yield LayoutRow("", "", why="everything that is fitted")

    def line(self, line: ReferenceLine) -> str:
        return f"{line.key} <- {line.text}"


STYLE = Toy()

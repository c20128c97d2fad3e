"""Steps done to sources in the plainest way, for tests of what they come to."""

from collections.abc import Iterable
from pathlib import Path

from pincheck.claims import claims
from pincheck.model.claim import Claims
from pincheck.model.reading import Reading
from pincheck.model.setting import StyleName
from pincheck.model.source import Source
from pincheck.model.wiring import Assembly
from pincheck.resources import folder
from pincheck.styles import of
from pincheck.styles.step import Add, Disable, Enable, Replace, Step


def machine(name: str) -> list[Source]:
    """Return the sources of one clean demo configuration, the main one first."""
    files = sorted((folder("configs") / "clean" / name).iterdir(), key=_main_first)
    return [Source.of_text(path.name, path.read_text(encoding="utf-8")) for path in files]


def _main_first(path: Path) -> tuple[bool, str]:
    return path.stem not in ("machine", "config"), path.name


def read(style: StyleName, *texts: str | Source) -> Reading:
    """Return the reading of texts as files `a`, `b` ... of a style."""
    suffix = {"define": ".h", "section": ".cfg", "gcode": ".g"}[style]
    sources = [
        text if isinstance(text, Source) else Source.of_text("abcdef"[at] + suffix, text)
        for at, text in enumerate(texts)
    ]
    return of(style).read(sources, sources if style == "define" else sources[:1])


def claims_of(style: StyleName, *texts: str | Source, assembly: Assembly | None = None) -> Claims:
    """Return the claims of texts."""
    return claims(read(style, *texts), assembly)


def applied(style: StyleName, sources: Iterable[Source], steps: Iterable[Step]) -> list[Source]:
    """Return the sources with every step done."""
    texts = {source.name: source.text for source in sources}
    edits = [_edit(style, step, next(iter(texts)), texts) for step in steps]
    for name, start, end, text in sorted(edits, key=lambda edit: edit[1:3], reverse=True):
        texts[name] = texts[name][:start] + text + texts[name][end:]
    return [Source.of_text(name, text) for name, text in texts.items()]


def _edit(
    style: StyleName, step: Step, main: str, texts: dict[str, str]
) -> tuple[str, int, int, str]:
    match step:
        case Replace(setting, text):
            gap = "" if setting.value or style == "gcode" else " "
            return setting.source.name, setting.value_start, setting.value_end, gap + text
        case Disable(setting):
            mark = {"define": "//", "section": "#", "gcode": ""}[style]
            end = setting.end if style == "gcode" else setting.start
            return setting.source.name, setting.start, end, mark
        case Enable(setting, text):
            line = of(style).written(Add(setting.section, setting.key, text))
            return setting.source.name, setting.start, setting.end, line
        case Add() as add:
            return _addition(style, add, main, texts)
    raise AssertionError(step)


def _addition(
    style: StyleName, add: Add, main: str, texts: dict[str, str]
) -> tuple[str, int, int, str]:
    line = of(style).written(add)
    if add.after is None:
        header = f"\n[{add.section}]\n" if style == "section" else "\n"
        return main, len(texts[main]), len(texts[main]), f"{header}{line}\n"
    name, end = add.after.source.name, add.after.end
    if style == "gcode" and add.joins:
        return name, end, end, f" {line}"
    end = texts[name].find("\n", end)
    header = "" if style != "section" or add.joins else f"\n[{add.section}]"
    return name, end, end, f"{header}\n{line}"

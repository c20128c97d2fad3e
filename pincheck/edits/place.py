"""Steps in the user's spelling to replacements of characters in the user's files."""

from collections.abc import Iterable, Iterator

from pincheck.claims.step import Add, Disable, Enable, Replace, Retire, Step
from pincheck.model.edit import Edit
from pincheck.model.reading import Reading
from pincheck.model.setting import Setting
from pincheck.model.source import Source

_COMMENT = {"define": "//", "section": "#", "gcode": "; "}
_SAVED_BLOCK = "\n#*#"


def edits(steps: Iterable[Step], reading: Reading) -> Iterator[Edit]:
    """Yield the edits that carry out the steps; what is put in at one place is one edit.

    Edits at one place would have no order of their own.
    """
    put_in: dict[tuple[str, int], str] = {}
    for edit in _placed(steps, reading):
        if edit.start < edit.end:
            yield edit
            continue
        at = edit.source, edit.start
        put_in[at] = put_in.get(at, "") + edit.replacement
    for (source, start), text in put_in.items():
        yield Edit(source, start, start, text)


def _placed(steps: Iterable[Step], reading: Reading) -> Iterator[Edit]:
    new: dict[str, list[Add]] = {}
    for step in steps:
        match step:
            case Replace(setting, text):
                yield _replace(setting, text)
            case Enable(setting, text):
                yield _enable(setting, text)
            case Disable(setting):
                yield _disable(setting)
            case Retire(setting):
                yield _comment(setting)
            case Add() if step.joins:
                yield _join(step)
            case Add():
                new.setdefault(step.section, []).append(step)
    for adds in new.values():
        yield _block(adds, reading)


def _replace(setting: Setting, text: str) -> Edit:
    bare = setting.value_start == setting.value_end
    gap = " " if bare and setting.style == "define" else ""
    if bare and setting.style == "section":
        gap = " "
    return Edit(setting.source.name, setting.value_start, setting.value_end, gap + text)


def _enable(setting: Setting, text: str) -> Edit:
    """Uncomment a line; in the gcode style write the letter on a line of its own below.

    Uncommenting a whole command would set its other letters as well.
    """
    source = setting.source
    if setting.style == "gcode":
        at = _line_end(source, setting.end)
        line = f"{source.newline}{setting.section} {setting.key}{text}"
        return Edit(source.name, at, at, line)
    lead = source.text[setting.start : setting.key_start].lstrip("/#;* \t")
    if setting.style == "define":
        lead = f"#{lead}"
    gap = source.text[setting.key_end : setting.value_start] or (" " if text else "")
    end = max(setting.value_end, setting.key_end)
    return Edit(source.name, setting.start, end, f"{lead}{setting.key}{gap}{text}".rstrip())


def _disable(setting: Setting) -> Edit:
    source = setting.source
    if setting.style == "gcode":
        start = setting.start
        while start and source.text[start - 1] in " \t":
            start -= 1
        return Edit(source.name, start, setting.end, "")
    return _comment(setting)


def _comment(setting: Setting) -> Edit:
    """Comment out the line, of which a setting of the gcode style is one letter."""
    source, start = setting.source, setting.start
    if setting.style == "gcode":
        line = source.line(setting.span.line)
        start = start - setting.span.column + 1 + len(line) - len(line.lstrip())
    return Edit(source.name, start, start, _COMMENT[setting.style])


def _join(add: Add) -> Edit:
    after = add.after
    assert after is not None
    source = after.source
    if after.style == "gcode":
        return Edit(source.name, after.end, after.end, f" {add.written(after.style)}")
    at = _line_end(source, after.end)
    start = source.text.rfind("\n", 0, after.start) + 1
    lead = source.text[start : after.start]
    indent = lead if not lead.strip() else ""
    line = f"{source.newline}{indent}{add.written(after.style)}"
    return Edit(source.name, at, at, line)


def _block(adds: list[Add], reading: Reading) -> Edit:
    """Return one edit that writes a new section, or new lines behind a kindred setting."""
    after = adds[0].after
    source = after.source if after else reading.sources[0]
    written = [add.written(reading.style) for add in adds]
    if reading.style == "gcode":
        written = [" ".join((written[0], *(f"{a.key}{a.text}" for a in adds[1:])))]
    if reading.style == "section":
        written = ["", f"[{adds[0].section}]", *written]
    elif after:
        at = _line_end(source, after.end)
        return Edit(source.name, at, at, "".join(f"{source.newline}{line}" for line in written))
    at = _end(source)
    ended = at == 0 or source.text[at - 1] == "\n"
    if not written[0] and source.text[:at].endswith(2 * source.newline):
        del written[0]
    body = source.newline.join(written) + source.newline
    if at < len(source.text):
        body += source.newline if reading.style == "section" else ""
    return Edit(source.name, at, at, body if ended else source.newline + body)


def _end(source: Source) -> int:
    """Return where new lines go at the end of a file: before a block that the firmware writes."""
    if source.text.startswith(_SAVED_BLOCK[1:]):
        return 0
    saved = source.text.find(_SAVED_BLOCK)
    return len(source.text) if saved < 0 else saved + 1


def _line_end(source: Source, offset: int) -> int:
    """Return the end of the line that `offset` stands on, before its line ending."""
    at = source.text.find("\n", offset)
    if at < 0:
        return len(source.text)
    return at - 1 if at > offset and source.text[at - 1] == "\r" else at

"""One file of the section style: its lines to settings, includes and problems."""

import re

from attrs import define, field

from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.problem import Problem, refusal
from pincheck.model.setting import Activity, Setting
from pincheck.model.source import Source
from pincheck.readers.mistakes import MERGE, Mistake, Mistakes
from pincheck.readers.section.forms import COMMENT, UNEXPLAINED

_LINE = re.compile(
    r"""^(?P<indent>[^\S\n]*+)(?:
      (?P<comment>[#;][^\n]*)
    | \[(?P<header>[^\S\n]*+[^\s\#;\]][^\n\#;]*)\][^\n]*
    | (?P<key>\w[^\n\#:=]*+)(?P<separator>[:=][^\S\n]*+)(?P<value>[^\n\#]*+)[^\n]*
    | (?P<blank>$)
    | (?P<other>[^\n]+)
    )""",
    re.MULTILINE | re.VERBOSE,
)
_COMMENTED = re.compile(
    r"[#;][#;\s]*+(?:\[(?P<header>[^\[\]#;]+)\]"
    r"|(?P<key>[A-Za-z_]\w*)[^\S\n]*[:=][^\S\n]*(?P<value>[^#]*))"
)
_ASSIGNMENT = re.compile(r"[a-z_]\w*[^\S\n]*[:=][^\S\n]+[^\s{]|[a-z_]\w*[:=][^\s{]")
_MAY_BE_EMPTY = re.compile(r"gcode|text|name|description")

UNRESOLVED = "a template that the firmware works out while it runs"
INCLUDE = "include "


@frozen
class Parsed:
    """What one stretch of a file holds, in its order; a header is a setting without a key."""

    settings: tuple[Setting, ...]
    problems: tuple[Problem, ...]


@define
class _Open:
    """An assignment whose value may go on in the next line.

    `beside` is whether the value begins in the line of its key.
    """

    indent: int
    beside: bool
    key: str
    key_start: int
    key_end: int
    start: int
    end: int
    lines: list[str]


@define
class _Lines:
    """Goes through a file line by line."""

    source: Source
    activity: Activity
    condition: str
    mistakes: Mistakes
    settings: list[Setting] = field(factory=list)
    section: str = ""
    would_be: str = ""
    indent: int = 0
    open: _Open | None = None
    broken: bool = False
    commented: list[Setting] = field(factory=list)
    merge: str = ""
    explained: int = 0

    def run(self, text: str, start: int, end: int) -> Parsed:
        for line in _LINE.finditer(text, start, end):
            if len(self.settings) + len(self.commented) > limits.SETTINGS:
                raise refusal(self.source, line.start(), f"more than {limits.SETTINGS:,} settings")
            kind = line.lastgroup
            if kind == "blank":
                continue
            at = line.end("indent")
            if kind == "comment":
                self._comment(line, at)
                continue
            indent = at - line.start()
            if indent > self.indent and (self.open or self.broken):
                self._continue(text, at, line.end())
                continue
            self._close()
            self.indent = indent
            self.broken = False
            if kind == "value":
                self._assignment(line, at)
            elif kind == "header":
                self._header(line["header"], at, line.start("header"))
            else:
                self._broken(at, line.end(), line[0][indent:].rstrip())
        self._close()
        return Parsed(tuple(self.settings), self.mistakes.close())

    def _add(
        self,
        section: str,
        key: str,
        span: tuple[int, int],
        key_span: tuple[int, int],
        value_span: tuple[int, int],
        resolved: str,
        activity: Activity | None = None,
    ) -> Setting:
        template = "{" in resolved
        return Setting(
            "section",
            self.source,
            section,
            key,
            self.source.text[value_span[0] : value_span[1]],
            *span,
            *key_span,
            *value_span,
            activity or (Activity.POSSIBLE if self.merge else self.activity),
            "" if activity else self.merge or self.condition,
            None if template else resolved,
            UNRESOLVED if template else "",
        )

    def _assignment(self, line: re.Match[str], at: int) -> None:
        if not self.section:
            message = "the setting stands in no section, so nothing can be said about it"
            end = line.end("value")
            self.mistakes.add(at, end, Mistake(0, message, "`[section]` above it"))
            self.broken = True
            return
        key = line["key"].rstrip()
        start, raw = line.span("value")[0], line["value"]
        if ";" in raw and (comment := COMMENT.search(line.string, start, line.end("value"))):
            raw = line.string[start : comment.start()]
        raw = raw.rstrip()
        self.would_be = ""
        self.open = _Open(
            at - line.start(),
            raw != "",
            key.lower(),
            at,
            at + len(key),
            start,
            start + len(raw),
            [raw],
        )

    def _continue(self, text: str, at: int, end: int) -> None:
        self.commented.clear()
        if self.open is None:
            return
        comment = COMMENT.search(text, at, end)
        more = text[at : comment.start() if comment else end].rstrip()
        if self._swallowed(more):
            message = f"the line is read as part of {self.open.key!r}, being indented"
            mistake = Mistake(0, message, "no blanks in front of it")
            self.mistakes.add(at, at + len(more), mistake)
        if self.open.lines == [""]:
            self.open.start = at
            self.open.lines.clear()
        self.open.lines.append(more)
        self.open.end = at + len(more)

    def _swallowed(self, more: str) -> bool:
        """Whether a line looks like a setting that its indentation makes part of another one."""
        return (
            self.open is not None
            and self.open.beside
            and len(self.open.lines) == 1
            and not _MAY_BE_EMPTY.search(self.open.key)
            and self.open.lines[0][-1:] != ","
            and _ASSIGNMENT.match(more) is not None
        )

    def _close(self) -> None:
        """Turn the open assignment into a setting, and let the comments behind it follow."""
        if self.open:
            it = self.open
            key_span = it.key_start, it.key_end
            value_span = it.start, it.end
            span = it.key_start, it.end
            value = "\n".join(it.lines)
            if not value and not _MAY_BE_EMPTY.search(it.key):
                mistake = Mistake(it.end - it.key_start, f"{it.key!r} has no value", "a value")
                self.mistakes.add(it.key_start, it.end, mistake)
            self.settings.append(self._add(self.section, it.key, span, key_span, value_span, value))
            self.open = None
        if self.commented:
            self.settings += self.commented
            self.commented.clear()

    def _header(self, raw: str, start: int, name_start: int) -> None:
        name = raw.strip()
        at = name_start + len(raw) - len(raw.lstrip())
        value_span = at, at + len(name)
        self.section = " ".join(name.split())
        self.would_be = ""
        span = start, name_start + len(raw) + 1
        self.settings.append(
            self._add(self.section, "", span, (start, start), value_span, self.section)
        )
        if self.section.startswith(INCLUDE):
            # The firmware reads what follows an include afresh: it belongs to no section.
            self.section = ""

    def _broken(self, at: int, end: int, line: str) -> None:
        from pincheck.readers.section.explain import explain

        merge = MERGE.match(line)
        if merge and self.merge and not merge["open"]:
            self.broken = True
            self.merge = "" if merge["close"] else self.merge
            return
        self.explained += 1
        mistake = explain(line) if self.explained <= limits.EXPLAINED else UNEXPLAINED
        self.mistakes.add(at, at + len(line), mistake)
        self.broken = True
        if merge and merge["open"]:
            where = self.source.span(at, end).line
            self.merge = f"the merge begun in line {where} ends so"
        if mistake.header:
            self.section = "" if mistake.header.startswith(INCLUDE) else mistake.header
            self.would_be = ""
            self.broken = False

    def _comment(self, line: re.Match[str], at: int) -> None:
        inner = _COMMENTED.match(line["comment"])
        if inner is None or (
            self.open and self.open.lines[1:] and at - line.start() > self.open.indent
        ):
            return
        if inner["header"]:
            self.would_be = " ".join(inner["header"].split())
            start, end = inner.span("header")
            span, key_span, value_span = (at, at + end + 1), (at, at), (at + start, at + end)
            key, value = "", self.would_be
        else:
            raw = inner["value"]
            if comment := COMMENT.search(raw):
                raw = raw[: comment.start()]
            value = raw.rstrip()
            start = at + inner.start("value")
            value_span = start, start + len(value)
            key_span = at + inner.start("key"), at + inner.end("key")
            span = at, start + len(value)
            key = inner["key"].lower()
        self.commented.append(
            self._add(
                self.would_be or self.section,
                key,
                span,
                key_span,
                value_span,
                value,
                Activity.COMMENTED,
            )
        )


def parse(
    source: Source,
    text: str,
    start: int,
    end: int,
    activity: Activity = Activity.ACTIVE,
    condition: str = "",
) -> Parsed:
    """Return the settings of `text[start:end]`, where `text` has the offsets of `source.text`.

    `Setting.value` is the stretch of the file from the value's first character to its last;
    `resolved` is what the firmware makes of it: comments and blank lines out, lines stripped.
    A section's header is a setting with an empty key whose value is the section's name.
    """
    return _Lines(source, activity, condition, Mistakes(source)).run(text, start, end)

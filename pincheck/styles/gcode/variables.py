"""Values that a script takes from a variable, and the line that gives the variable its value."""

import re
from collections.abc import Iterator, Sequence

from pincheck.model.setting import Setting
from pincheck.model.source import Source
from pincheck.styles.step import CannotSpellError

_VARIABLE = re.compile(r"\{?\s*(?P<kind>var|global)\.(?P<name>\w+)\s*\}?")
_EXPRESSION = re.compile(r"\{.*[A-Za-z+*/]")
_VALUE = (
    r'(?:"(?P<text>[^"\n]*)"|(?P<number>[-+]?\d+\.?\d*)(?=\s*(?:;|$))|(?P<rest>[^;\r\n]*[^;\s]))'
)
_REMARK = re.compile(r'((?:[^";\n]|"[^"\n]*")*)(;[^\n]*)?')


def where_written(setting: Setting, files: Sequence[Source]) -> Setting:
    """Return the setting whose text an edit of `setting` has to change: mostly itself.

    A variable's own line takes its place where that is one plain constant for this setting alone.

    Raises:
        CannotSpellError: the value is worked out, or the variable serves for more than this.
    """
    told = f"{setting.name} takes its value from {setting.value}"
    asked = _VARIABLE.fullmatch(setting.value)
    if asked is None:
        if _EXPRESSION.match(setting.value):
            raise CannotSpellError(f"{told}, an expression")
        return setting
    kind, name = asked["kind"], asked["name"]
    sources = files if kind == "global" else (setting.source,)
    lines = [found for source in sources for found in _assignments(source, kind, name)]
    uses = sum(len(re.findall(rf"\b{kind}\.{name}\b", _bare(source))) for source in sources)
    if not lines:
        raise CannotSpellError(f"{told}, which no file sets")
    line = lines[0]
    at = f"{line.source.name}:{line.span.line}"
    if len(lines) > 1 or uses > 1:
        raise CannotSpellError(f"{told}, which is set at {at} and serves for more than this")
    if line.unknown:
        raise CannotSpellError(f"{told}, which is worked out at {at}")
    return line


def _bare(source: Source) -> str:
    """Return a script's text without its remarks."""
    return _REMARK.sub(lambda match: match[1], source.text)


def _assignments(source: Source, kind: str, name: str) -> Iterator[Setting]:
    """Yield every line that declares or sets a variable; `unknown` where it is no constant."""
    form = rf"^[ \t]*(?:{kind}[ \t]+(?P<key>{name})|set[ \t]+{kind}\.{name})[ \t]*=[ \t]*"
    for found in re.finditer(form + _VALUE, source.text, re.MULTILINE):
        what = found.lastgroup or "rest"
        key = found.span("key") if found["key"] else (found.start(), found.start())
        text, unknown = found[what], "it is worked out" if what == "rest" else ""
        at = found.start(), found.end(), *key, *found.span(what)
        yield Setting("gcode", source, kind, name, text, *at, unknown=unknown)

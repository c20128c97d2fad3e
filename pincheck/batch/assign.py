"""Which assembly a submission is checked against: manifest, marker file, rule file, only one."""

import re
from collections.abc import Iterator
from fnmatch import fnmatchcase
from pathlib import Path, PurePosixPath

from attrs import frozen

from pincheck.batch.offered import Offer, Offered
from pincheck.model.problem import UnreadableError
from pincheck.model.reading import Reading
from pincheck.model.setting import STYLES, Activity
from pincheck.model.source import Source
from pincheck.toml import document
from pincheck.toml.table import Field, Tables
from pincheck.wiring import folder

MARKER = "pincheck-assembly.txt"
"""A file of this name in a submission names its assembly on the first line that is no comment."""

_FILE = {"assign": Field("any", "the rules, one [[assign]] each", needed=True)}
_RULE = {
    "assembly": Field("text", "name of the assembly", needed=True),
    "path": Field("text", "pattern for the path in the batch's folder, such as returns/*"),
    "style": Field("choice", "style of the configuration", choices=tuple(STYLES)),
    "setting": Field("text", "word in a setting that is in force, such as a board's identifier"),
    "text": Field("text", "word anywhere in the files, comments included"),
}


class UnassignedError(Exception):
    """No assembly for a submission; says why."""


@frozen
class AssignmentRule:
    """Assigns `assembly` where everything that it states holds; what is empty is not asked."""

    number: int
    assembly: str
    path: str = ""
    style: str = ""
    setting: str = ""
    text: str = ""

    def fits(self, path: str, reading: Reading) -> bool:
        """Tell whether a submission is what the rule describes."""
        return (
            (not self.path or fnmatchcase(path, self.path))
            and self.style in ("", reading.style)
            and (not self.setting or _in_settings(self.setting, reading))
            and (not self.text or any(_holds(s.text, self.text) for s in reading.sources))
        )


def rules(file: Path, offered: Offer) -> tuple[AssignmentRule, ...]:
    """Return the rules of a TOML file, in their order: the first that fits assigns.

    Raises:
        UnreadableError: with every mistake found.
    """
    tables = Tables(document.parse(folder.read(file, file.name)))
    tables.read((), _FILE)
    listed = tables.document.values.get("assign", [])
    if not isinstance(listed, list):
        tables.wrong(("assign",), "this is one table", "a list of rules: [[assign]]")
        listed = []
    found = []
    for number in range(len(listed)):
        at = ("assign", number)
        values = tables.read(at, _RULE)
        if len(values) == 1 and "assembly" in values:
            expected = "a condition: path, style, setting or text"
            tables.wrong(at, "this rule would fit every submission", expected)
        written = values.get("assembly", "")
        if written and offered.find(written) is None:
            tables.wrong((*at, "assembly"), offered.unknown(written))
        found.append(AssignmentRule(number + 1, **{"assembly": "", **values}))
    if tables.problems:
        raise UnreadableError(tuple(tables.problems))
    return tuple(found)


def assign(
    offered: Offer,
    assigned_by: tuple[AssignmentRule, ...],
    path: str,
    named: str,
    handed: tuple[Source, ...],
    reading: Reading,
) -> tuple[Offered, str]:
    """Return the assembly of a submission, and what assigned it in words.

    `named` is what the manifest says, `handed` every text file of the submission.

    Raises:
        UnassignedError: it fits none, or names one that is not offered.
    """
    if named:
        return _offered(offered, named, "the manifest"), "manifest"
    marked = {name for source in handed if (name := _marked(source))}
    if len(marked) > 1:
        raise UnassignedError(f"its marker files disagree: {', '.join(sorted(marked))}")
    if marked:
        return _offered(offered, marked.pop(), f"its {MARKER}"), "marker file"
    for rule in assigned_by:
        if rule.fits(path, reading):
            return _offered(offered, rule.assembly, f"rule {rule.number}"), f"rule {rule.number}"
    if len(offered.assemblies) == 1:
        return offered.assemblies[0], "only assembly"
    tried = f"no {MARKER}, no rule fits" if assigned_by else f"no {MARKER}"
    raise UnassignedError(f"it fits no assembly: no manifest names one, {tried}")


def _offered(offered: Offer, written: str, by: str) -> Offered:
    found = offered.find(written)
    if found is None:
        raise UnassignedError(
            f"{by} names an assembly that is not here: {offered.unknown(written)}"
        )
    return found


def _marked(source: Source) -> str:
    if PurePosixPath(source.name).name != MARKER:
        return ""
    lines = (line.strip() for line in source.text.splitlines()[:20])
    return next((line for line in lines if line and not line.startswith("#")), "")


def _in_settings(word: str, reading: Reading) -> bool:
    return any(_holds(text, word) for text in _in_force(reading))


def _in_force(reading: Reading) -> Iterator[str]:
    for setting in reading.settings:
        if setting.activity is Activity.ACTIVE:
            yield from (setting.section, setting.key, setting.value)


def _holds(text: str, word: str) -> bool:
    return word in text and re.search(rf"(?<!\w){re.escape(word)}(?!\w)", text) is not None

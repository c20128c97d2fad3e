"""What a release lets go although nobody showed that it agrees: `release.toml`, with reasons."""

from collections.abc import Iterable, Mapping
from pathlib import Path

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.model.nearest import nearest
from pincheck.model.problem import Problem, UnreadableError
from pincheck.model.setting import STYLES
from pincheck.model.source import Span
from pincheck.toml.document import Document, parse
from pincheck.toml.table import Field, Tables
from pincheck.wiring import folder

FILE = "release.toml"
LET_GO = ("not possible", "in no style", "missing", "edited", "unstamped", "not judged")
"""States of a reference that a consent may name; of anything else it names a finding's rule."""
NOT_DROP_IN = "not drop-in"
"""What a consent names for a role that is meant not to go over from the revision before."""

_FILE = {"consent": Field("any", "what goes out all the same, one [[consent]] each", needed=True)}
_CONSENT = {
    "assembly": Field("text", "file of the assembly", needed=True),
    "what": Field("text", f"{', '.join(LET_GO)}, or the rule of a finding", needed=True),
    "style": Field("choice", "style of the reference", choices=tuple(STYLES)),
    "role": Field("text", "role of the finding, such as part.fan"),
    "because": Field("text", "the reason", needed=True),
}


@frozen
class Consent:
    """One thing that a release lets go; a finding's `what` is its rule, and it has a `role`."""

    assembly: str
    what: str
    because: str
    style: str = ""
    role: str = ""
    at: Span | None = field(default=None, eq=False)

    def __str__(self) -> str:
        of = ", ".join(filter(None, (self.role, self.style and f"{self.style} style")))
        return f"{self.what}{f' ({of})' if of else ''}: {self.because} ({self.at})"


@frozen
class Consents:
    """Every consent of a release; `problems` are mistakes in their file."""

    all: tuple[Consent, ...] = ()
    problems: tuple[Problem, ...] = ()
    document: Document | None = None

    def accepted(self, assembly: str) -> Mapping[tuple[str, str], str]:
        """Return the reason by (rule, role) of each finding that is let go of an assembly."""
        own = (it for it in self.all if it.role and it.assembly == assembly)
        return {(it.what, it.role): it.because for it in own}

    def find(self, assembly: str, what: str, style: str) -> Consent | None:
        """Return what lets a state of a reference go, None where nothing does."""
        style = "" if what == "in no style" else style
        wanted = assembly, what, style
        return next((it for it in self.all if (it.assembly, it.what, it.style) == wanted), None)

    def idle(self, used: Iterable[Consent]) -> tuple[Problem, ...]:
        """Return a problem for each consent that lets nothing go."""
        gone = set(used)
        message = "this consents to nothing that is there: take it out"
        return tuple(
            self.document.problem(("consent", number), message)
            for number, consent in enumerate(self.all)
            if self.document and consent not in gone
        )


def consents(at: Path, assemblies: Iterable[str] = ()) -> Consents:
    """Return what the release file of a folder lets go; nothing where there is none.

    Only of these `assemblies` it may speak, where any are given.
    """
    file = at / FILE
    if not file.exists():
        return Consents()
    try:
        tables = Tables(parse(folder.read(file, FILE)))
        return _read(tables, tuple(assemblies))
    except UnreadableError as error:
        return Consents(problems=error.problems)


def _read(tables: Tables, assemblies: tuple[str, ...]) -> Consents:
    tables.read((), _FILE)
    listed = tables.document.values.get("consent", [])
    if not isinstance(listed, list):
        tables.wrong(("consent",), "this is one table", "a list: [[consent]]")
        listed = []
    found = []
    for number in range(len(listed)):
        at = ("consent", number)
        values = tables.read(at, _CONSENT)
        if not {"assembly", "what", "because"} <= values.keys():
            continue
        if not values["because"].strip():
            tables.wrong((*at, "because"), "there is no reason", "why it may go out like this")
        if assemblies and values["assembly"] not in assemblies:
            near = nearest(values["assembly"], assemblies)
            tables.wrong((*at, "assembly"), "there is no such assembly here", "", near)
        wanted = _wanted(values["what"])
        for key in ("style", "role"):
            if (key in values) != (key == wanted):
                message = f"{values['what']} {'wants a' if key == wanted else 'takes no'} {key}"
                tables.wrong((*at, key) if key in values else at, message)
        found.append(Consent(**values, at=tables.document.value(at)))
    return Consents(tuple(found), tuple(tables.problems), tables.document)


def _wanted(what: str) -> str:
    """Return the key that a consent needs beside what it names."""
    if what == "in no style":
        return ""
    return "style" if what in LET_GO else "role"

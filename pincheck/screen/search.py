"""Which findings are wanted: severities, roles, files, rules and words, as typed."""

from collections.abc import Callable

from attrs import field

from pincheck.model.finding import Finding, Severity
from pincheck.model.frozen import frozen
from pincheck.reports import sentences

_SEVERITIES = {severity.word: severity for severity in Severity}


def _file(finding: Finding) -> str:
    return finding.span.source if finding.span else ""


_FIELDS: dict[str, Callable[[Finding], str]] = {
    "role": lambda finding: " ".join(finding.roles),
    "file": _file,
    "rule": lambda finding: finding.rule,
}

HINT = "danger fault advice, role:x file:x rule:x, or any words"
"""What can be typed."""


@frozen
class Search:
    """A typed search; each kind narrows, several severities widen."""

    severities: frozenset[Severity] = frozenset()
    fields: tuple[tuple[str, str], ...] = field(default=())
    words: tuple[str, ...] = ()

    def wants(self, finding: Finding) -> bool:
        """Tell whether a finding is wanted."""
        if self.severities and finding.severity not in self.severities:
            return False
        if any(part not in _FIELDS[name](finding).casefold() for name, part in self.fields):
            return False
        if not self.words:
            return True
        claims = " ".join(map(sentences.firmware_line, finding.claims))
        text = " ".join((finding.rule, *finding.roles, finding.message, claims)).casefold()
        return all(word in text for word in self.words)


def parse(typed: str) -> Search:
    """Return the search that was typed; an unknown prefix is taken as a word."""
    severities, fields, plain = set(), [], []
    for word in typed.casefold().split():
        name, colon, part = word.partition(":")
        if word in _SEVERITIES:
            severities.add(_SEVERITIES[word])
        elif colon and name in _FIELDS:
            fields.append((name, part))
        else:
            plain.append(word)
    return Search(frozenset(severities), tuple(fields), tuple(plain))

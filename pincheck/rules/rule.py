"""What a rule is, and how a rule file registers its own."""

from collections.abc import Callable, Iterator

from attrs import field, frozen

from pincheck.analysis.case import Case
from pincheck.model.finding import Outcome, Severity
from pincheck.model.setting import Style


@frozen
class Example:
    """The clean demo in one style with a few texts replaced.

    `replaced` are (file, old text, new text), the file relative to the demo's folder; the old
    text stands there exactly once. `also` are rules that rightly speak of the same thing.
    """

    style: Style
    replaced: tuple[tuple[str, str, str], ...]
    also: tuple[str, ...] = ()


def example(style: Style, *replaced: tuple[str, str, str], also: tuple[str, ...] = ()) -> Example:
    """Return an example from its replacements."""
    return Example(style, replaced, also)


Check = Callable[[Case], Iterator[Outcome]]


@frozen
class Rule:
    """One rule: what it is called, why it exists, how to see it fire and stay quiet.

    `severity` is the worst that it gives. `source` is a standard, handbook or data sheet, or
    `common practice`. `failing` makes it fire and no other; `passing` is a near miss.
    """

    id: str
    family: str
    severity: Severity
    title: str
    reason: str
    source: str
    failing: Example
    passing: Example
    check: Check = field(eq=False, repr=False)


REGISTERED: dict[str, Rule] = {}


def rule(
    *,
    id: str,  # noqa: A002 - the word that users see
    severity: Severity,
    title: str,
    reason: str,
    source: str,
    failing: Example,
    passing: Example,
) -> Callable[[Check], Rule]:
    """Register the decorated generator as a rule of the family that its folder names.

    Raises:
        ValueError: the identifier is taken.
    """

    def register(check: Check) -> Rule:
        if id in REGISTERED:
            raise ValueError(f"two rules are called {id!r}")
        family = check.__module__.split(".")[-2]
        made = Rule(id, family, severity, title, reason, source, failing, passing, check)
        return REGISTERED.setdefault(id, made)

    return register

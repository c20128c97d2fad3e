"""What a rule is, and how a rule file registers its own."""

from collections.abc import Callable, Iterator

from attrs import evolve, field

from pincheck.analysis.case import Case
from pincheck.analysis.roles import strikes
from pincheck.model.finding import Finding, Moment, Outcome, Severity
from pincheck.model.frozen import frozen
from pincheck.model.setting import StyleName
from pincheck.model.threshold import Threshold

Outcomes = Iterator[Outcome]
Replacement = tuple[str, str, str]
Check = Callable[[Case], Outcomes]


@frozen
class Example:
    """The clean demo in one style with a few texts replaced.

    `replaced` are (file, old text, new text), the file relative to the demo's folder; the old
    text stands there exactly once, and is empty for a further file. `also` are rules that rightly
    speak of the same thing.
    """

    style: StyleName
    replaced: tuple[Replacement, ...]
    also: tuple[str, ...] = ()


def example(style: StyleName, *replaced: Replacement, also: tuple[str, ...] = ()) -> Example:
    """Return an example; a file that is no wiring's lies in the clean demo of the style."""
    inside = (
        (file if file.endswith(".toml") else f"clean/{style}/{file}", old, new)
        for file, old, new in replaced
    )
    return Example(style, tuple(inside), also)


@frozen
class Rule:
    """One rule: what it is called, why it exists, how to see it fire and stay quiet.

    `severity` is the worst that it gives. `source` is a standard, handbook or data sheet, or
    `common practice`. `fires` makes it fire and no other; `quiet` is a near miss. `thresholds` are
    the figures that it compares with, `causes` the rules whose findings of the same role follow
    from one of this. `when` is the moment at which its findings strike, None where it is the one
    at which the first part that they name is needed.
    """

    id: str
    family: str
    severity: Severity
    title: str
    reason: str
    source: str
    fires: Example
    quiet: Example
    check: Check = field(eq=False)
    thresholds: tuple[Threshold, ...] = ()
    causes: tuple[str, ...] = ()
    when: Moment | None = None

    def outcomes(self, case: Case) -> Outcomes:
        """Judge one case; a finding without a severity or moment of its own gets the rule's."""
        for outcome in self.check(case):
            if isinstance(outcome, Finding):
                graded = outcome.severity or self.severity
                when = outcome.when or self.when or strikes(outcome.role)
                yield evolve(outcome, rule=self.id, severity=graded, when=when)
            else:
                yield outcome


REGISTERED: dict[str, Rule] = {}


def register(made: Rule) -> Rule:
    """Add a rule to those there are.

    Raises:
        ValueError: the identifier is taken.
    """
    if made.id in REGISTERED:
        raise ValueError(f"two rules are called {made.id!r}")
    return REGISTERED.setdefault(made.id, made)


def rule(
    severity: Severity,
    *,
    source: str,
    fires: Example,
    quiet: Example,
    thresholds: tuple[Threshold, ...] = (),
    causes: tuple[str, ...] = (),
    when: Moment | None = None,
) -> Callable[[Check], Rule]:
    """Register the decorated generator as the rule of its file.

    The file's name is its identifier, the folder its family; the first line of the file's
    docstring is its title and the rest its reason.
    """

    def registered(check: Check) -> Rule:
        family, name = check.__module__.split(".")[-2:]
        title, _, reason = check.__globals__["__doc__"].partition("\n")
        return register(
            Rule(
                id=name.replace("_", "-"),
                family=family,
                severity=severity,
                title=title.removesuffix("."),
                reason=" ".join(reason.split()),
                source=source,
                fires=fires,
                quiet=quiet,
                thresholds=thresholds,
                causes=causes,
                when=when,
                check=check,
            )
        )

    return registered

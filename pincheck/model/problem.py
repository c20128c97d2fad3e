"""What was wrong with an input, in words that a printer owner understands."""

from pincheck.model import limits
from pincheck.model.frozen import frozen
from pincheck.model.printable import cut
from pincheck.model.source import Source, Span

_NAME_CHARS = 240
"""Characters of a name as messages show it: systems take 255 bytes, archives tens of thousands."""

_MESSAGE_CHARS = 1_500
"""Characters of one message: the longest list of every known word, and three names."""


@frozen
class Problem:
    """One mistake in one input.

    `file` is always known; `span` where a place in it is. `message` says what is wrong,
    `expected` what would have been right, `nearest` the nearest known spelling. `fatal` means
    that the file, or the rest of it, could not be used.
    """

    file: str
    message: str
    span: Span | None = None
    text: str = ""
    expected: str = ""
    nearest: str = ""
    fatal: bool = False

    def __str__(self) -> str:
        place = cut(str(self.span) if self.span else self.file, _NAME_CHARS)
        tail = f"; expected {self.expected}" if self.expected else ""
        hint = f"; did you mean {cut(self.nearest, _NAME_CHARS)!r}?" if self.nearest else ""
        return f"{place}: {cut(self.message, _MESSAGE_CHARS)}{tail}{hint}"


class UnreadableError(Exception):
    """Input that leaves nothing to check; carries every problem found."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("\n".join(map(str, problems)))
        self.problems = problems


class TooMuchError(Exception):
    """A bound on all files of one machine together is passed; the message says which."""


def refusal(source: Source, at: int, bound: str) -> UnreadableError:
    """Return the error that refuses a whole machine; `at` is where it passes `bound`."""
    span = source.span(at, at)
    problem = Problem(
        source.name,
        f"{bound}, far beyond any machine: nothing was checked",
        span,
        source.line(span.line)[: limits.PROBLEM_CHARS],
        "the configuration of one machine",
        fatal=True,
    )
    return UnreadableError((problem,))

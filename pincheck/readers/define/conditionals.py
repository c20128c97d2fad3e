"""The conditionals around a line: which branch is taken, which may be, and in whose words."""

import re
from collections.abc import Iterable, Iterator

from attrs import define, field

from pincheck.model import limits
from pincheck.readers.define.lines import Directive
from pincheck.readers.define.table import Branch, Context

_ATOM = re.compile(r"!?\w+(?:\([^()]*\))?")
_SHOWN_CHARS = 200


def shown(text: str) -> str:
    """Return a condition as one line of bounded length."""
    text = " ".join(text[: 4 * _SHOWN_CHARS].split())
    return text if len(text) <= _SHOWN_CHARS else f"{text[:_SHOWN_CHARS]}..."


def negated(text: str) -> str:
    """Return the opposite of a condition, in the same language."""
    if _ATOM.fullmatch(text):
        return text[1:] if text.startswith("!") else f"!{text}"
    return f"!({text})"


def joined(texts: Iterable[str]) -> str:
    """Return the condition that all of these hold."""
    texts = list(dict.fromkeys(texts))
    if len(texts) == 1:
        return texts[0]
    return " && ".join(f"({text})" if "||" in text or "?" in text else text for text in texts)


@define
class Conditional:
    """One conditional: its first line, what is around it, and what its branches came to."""

    opener: Directive
    number: int
    context: Context
    dead: str | None
    taken: str = ""
    doubts: list[str] = field(factory=list)
    branches: int = 0
    last: bool = False
    open: set[int] = field(factory=set)

    def refused(self) -> Iterator[str]:
        """Yield in words that no branch before was taken, as far as anybody reads it."""
        yield from map(negated, self.doubts[: limits.DEFINE_DOUBTS_SHOWN])
        if len(self.doubts) > limits.DEFINE_DOUBTS_SHOWN:
            yield "..."


class Conditionals:
    """The stack of one file's conditionals.

    `context` are the branches around the current line that may be taken; `dead` is the condition
    that keeps the line from being compiled, None where nothing does.
    """

    def __init__(
        self, context: Context, numbers: Iterator[int], closed: dict[int, tuple[set[int], bool]]
    ) -> None:
        self.closed = closed
        self.stack: list[Conditional] = []
        self.context = context
        self.dead: str | None = None
        self.numbers = numbers

    def next_context(self) -> Context | None:
        """Return where a further branch asks its condition, None where nothing hangs on it."""
        top = self.stack[-1]
        if top.dead is not None or top.taken:
            return None
        return (*top.context, Branch(top.number, top.branches + 1, ""))

    def open(self, opener: Directive, verdict: bool | None, text: str) -> None:
        """Enter the first branch of a new conditional; None is a verdict nobody knows."""
        self.stack.append(Conditional(opener, next(self.numbers), self.context, self.dead))
        self.branch(verdict, text)

    def branch(self, verdict: bool | None, text: str) -> None:
        """Enter the next branch of the innermost conditional."""
        top = self.stack[-1]
        top.branches += 1
        self.context = top.context
        if top.dead is not None:
            self.dead = top.dead
        elif top.taken or verdict is False:
            self.dead = text
        else:
            self.dead = None
            if verdict is None or top.doubts:
                words = joined([*top.refused(), *([text] if text else [])])
                self.context += (Branch(top.number, top.branches, words),)
                top.open.add(top.branches)
            if verdict is None:
                top.doubts.append(text)
            else:
                top.taken = text or "1"

    def otherwise(self) -> None:
        """Enter the `#else` of the innermost conditional."""
        top = self.stack[-1]
        top.last = True
        self.branch(True, negated(top.taken) if top.taken else "")

    def close(self) -> None:
        """Leave the innermost conditional."""
        top = self.stack.pop()
        self.closed[top.number] = top.open, bool(top.taken)
        self.context, self.dead = top.context, top.dead

"""Which blocks of a script run: conditions and loops by indentation, in three-valued logic."""

from attrs import define, field

from pincheck.model import limits
from pincheck.model.setting import Activity

Truth = bool | None
"""True, False, or None where the files at hand do not decide."""


def both(left: Truth, right: Truth) -> Truth:
    """Return `left and right`."""
    if left is False or right is False:
        return False
    return None if left is None or right is None else True


def opposite(truth: Truth) -> Truth:
    """Return `not truth`."""
    return None if truth is None else not truth


@define
class Block:
    """The lines indented deeper than the `if`, `elif`, `else` or `while` that opens them.

    `own` is what its own condition comes to, `text` that condition. `missed` is whether all
    branches before this one of the same chain were not taken, in words `refused`. `variables`
    are those declared inside.
    """

    indent: int
    word: str
    own: Truth
    text: str
    missed: Truth = True
    refused: str = ""
    variables: set[str] = field(factory=set)

    @property
    def truth(self) -> Truth:
        """Whether the block is run, if the line that opens it is reached."""
        return both(self.missed, self.own)

    @property
    def condition(self) -> str:
        """Return what it takes to run the block."""
        return joined(self.refused, self.text)


@define
class Blocks:
    """The open blocks of one script; `truth` and `condition` are those of the call itself.

    `merging` says what decides while both sides of an unsettled merge go by.
    """

    truth: Truth = True
    condition: str = ""
    open: list[Block] = field(factory=list)
    merging: str = ""
    _known: tuple[Truth, str] | None = None

    def enter(self, block: Block) -> None:
        """Open a block."""
        self.open.append(block)
        self._known = None

    def close(self, indent: int) -> Block | None:
        """Close the blocks that a line of this indentation ends, and return the last of them."""
        last = None
        while self.open and indent <= self.open[-1].indent:
            last = self.open.pop()
            self._known = None
        return last

    def leave(self, line: str) -> None:
        """Note that the script may end here: `line` says in words that it does not."""
        self.truth = None if self.runs() is None else False
        self.condition = joined(self.condition, line)
        self._known = None

    def doubt(self, words: str) -> None:
        """Let `words` decide whether the lines that follow are run, until `settle`."""
        self.merging = words
        self._known = None

    def settle(self) -> None:
        """End what `doubt` began."""
        self.merging = ""
        self._known = None

    def chain(self, last: Block | None, indent: int) -> Block | None:
        """Return the branch that an `elif` or `else` continues, None where there is none."""
        fits = last and last.indent == indent and last.word in ("if", "elif")
        return last if fits else None

    def loops(self) -> bool:
        """Whether a loop is open."""
        return any(block.word == "while" for block in self.open)

    def runs(self) -> Truth:
        """Whether the lines that follow are run."""
        return self._state()[0]

    def why(self) -> str:
        """Return the conditions that decide it, empty where none does."""
        return self._state()[1]

    def activity(self) -> Activity:
        """Return the activity of a setting that stands here."""
        truth = self.runs()
        if truth is None:
            return Activity.POSSIBLE
        return Activity.ACTIVE if truth else Activity.DISABLED

    def _state(self) -> tuple[Truth, str]:
        if self._known is None:
            truth = self.truth
            words = self.condition if truth is not True else ""
            if self.merging:
                truth, words = both(truth, None), joined(words, self.merging)
            for block in self.open:
                truth = both(truth, block.truth)
                words = words if block.truth is True else joined(words, block.condition)
            self._known = truth, words
        return self._known


def joined(first: str, second: str) -> str:
    """Return two conditions that must both hold, cut where they get too long to be read."""
    words = " and ".join(filter(None, (first, second)))
    too_long = len(words) > limits.CONDITION_CHARS
    return words[: limits.CONDITION_CHARS].rstrip(". ") + " ..." if too_long else words

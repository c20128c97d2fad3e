"""One question after the other; what was answered is kept, so that it can be left anywhere."""

import textwrap
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TypeVar

import tomli_w

from pincheck.model import limits
from pincheck.model.printable import printable
from pincheck.model.problem import Problem, UnreadableError
from pincheck.toml.document import parse
from pincheck.wiring import folder
from pincheck.writing.output import put

Answer = TypeVar("Answer")
Take = Callable[[str], tuple[Answer, str]]
"""Returns what an answer means and how it is kept; raises `NoAnswerError`."""

UNKNOWN = "?"
"""What a user answers who does not know."""

_HEAD = "# Answers given so far. Correct a line or take it out; the same command goes on.\n\n"


class NoAnswerError(Exception):
    """What was typed answers nothing; holds the lines that help."""

    def __init__(self, *lines: str) -> None:
        super().__init__(" ".join(lines))
        self.lines = lines


class LeftError(Exception):
    """The user left; every answer is kept."""


class BackError(Exception):
    """The user wants the question before this one again."""


class Answers:
    """The answers given so far by the name of their question, in a file that is always whole."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self.given: dict[str, str] = {}
        if file.exists():
            source = folder.read(file, file.name)
            document = parse(source)
            wrong = [key for key, value in document.values.items() if not isinstance(value, str)]
            problems = [*document.problems]
            problems += [Problem(file.name, f"{key} is no text", fatal=True) for key in wrong]
            if problems:
                raise UnreadableError(tuple(problems))
            self.given = dict(document.values)

    def keep(self, name: str, text: str) -> None:
        """Keep an answer at once."""
        self.given[name] = text
        self._save()

    def drop(self, name: str) -> None:
        """Forget an answer and all that were given after it."""
        names = list(self.given)
        for later in names[names.index(name) :]:
            del self.given[later]
        self._save()

    def _save(self) -> None:
        self.file.parent.mkdir(parents=True, exist_ok=True)
        put(self.file, [_HEAD, tomli_w.dumps(self.given)])


class Dialogue:
    """Asks what is not answered yet; `read` gives the next line, empty at the end of all input."""

    def __init__(
        self,
        answers: Answers,
        read: Callable[[str], str],
        say: Callable[[Iterable[str]], None],
        width: int,
    ) -> None:
        self.answers, self.say, self._read, self.width = answers, say, read, width
        self._told: set[str] = set()

    def wrap(self, text: str, indent: str = "") -> list[str]:
        """Return a text in lines of the terminal's width."""
        return textwrap.wrap(
            printable(text),
            self.width,
            initial_indent=indent,
            subsequent_indent=indent,
            break_on_hyphens=False,
        )

    def tell(self, heading: str, *lines: str) -> None:
        """Print what the next questions are about, once."""
        if heading not in self._told:
            self._told.add(heading)
            self.say(["", heading, *(it for line in lines for it in self.wrap(line))])

    def ask(self, name: str, question: str, take: Take[Answer]) -> Answer:
        """Return the answer to a question, asked until there is one.

        Raises:
            LeftError: the user left, or the input ended.
            BackError: the question before is to be asked again.
        """
        while True:
            kept = self.answers.given.get(name)
            text = self._line(question) if kept is None else kept
            try:
                answer, canonical = take(text)
            except NoAnswerError as error:
                if kept is not None:
                    self.say([f"{name} = {printable(kept)} answers nothing any more."])
                    self.answers.drop(name)
                self.say(it for line in error.lines for it in self.wrap(line, "  "))
                continue
            if kept is None:
                self.answers.keep(name, canonical)
            return answer

    def _line(self, question: str) -> str:
        text = self._read("\n".join([*self.wrap(question), "> "]))
        if not text:
            raise LeftError
        word = text.strip()
        if word == "quit":
            raise LeftError
        if word == "back":
            if self.answers.given:
                self.answers.drop(list(self.answers.given)[-1])
            raise BackError
        if len(word) > limits.WIRING_TEXT or printable(word) != word:
            return "\x00"  # answers no question, and is told so
        return word

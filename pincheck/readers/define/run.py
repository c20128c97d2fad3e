"""The run through one header, as a C preprocessor does it, but keeping what is unknown."""

import re
from collections.abc import Callable, Iterable
from difflib import get_close_matches

from pincheck.model import limits
from pincheck.model.printable import cut
from pincheck.model.problem import TooMuchError, refusal
from pincheck.model.reading import NotSent
from pincheck.model.setting import Activity, Setting
from pincheck.model.source import Source
from pincheck.readers.define.arguments import UndecidedError
from pincheck.readers.define.conditionals import Conditionals, joined, shown
from pincheck.readers.define.headers import SETS_NOTHING, Headers
from pincheck.readers.define.judgement import judge
from pincheck.readers.define.lines import CONFLICT, BrokenLine, DefineLine, Directive, HeaderLine
from pincheck.readers.define.table import Context, MacroState, Meaning
from pincheck.readers.mistakes import Mistake, unread

_FILE = re.compile(r'"([^"\n]+)"|<([^>\n]+)>')
_NAME = re.compile(r"[^\W\d]\w*")


class Preprocessing:
    """The run through one file of the headers, under the branches around its include."""

    def __init__(self, headers: Headers, number: int, context: Context) -> None:
        self.headers = headers
        self.number = number
        self.source = headers.sources[number]
        self.mistakes = headers.mistakes[number]
        self.at = Conditionals(context, headers.conditionals, headers.closed)
        self.unclosed = _unclosed(headers.lines(number))

    def through(self) -> None:
        """Evaluate the file from its first line to its last."""
        self.headers.enter(self.number)
        number, rows, at = self.number, self.headers.rows, self.at
        for line in self.headers.lines(number):
            if isinstance(line, DefineLine):
                dead = at.dead
                if dead is None and not line.commented:
                    self._set(line.name, line)
                rows.append((number, line, at.context, dead))
            elif isinstance(line, Directive):
                try:
                    self._directive(line)
                except TooMuchError as error:
                    raise refusal(self.source, line.start, str(error)) from None
            elif isinstance(line, BrokenLine) and at.dead is None:
                self.mistakes.add(line.start, line.end, Mistake(0, line.message, line.expected))
        for left in at.stack:
            self._wrong(left.opener, f"this #{left.opener.word} is never closed", "#endif")
        self.headers.inside.pop()

    def _set(self, name: str, define: DefineLine | None) -> None:
        row = len(self.headers.rows)
        for loser in self.headers.table.set(name, Meaning(row, define, self.at.context)):
            self.headers.lost[loser] = row if define else None

    def _wrong(self, line: Directive, message: str, expected: str = "", nearest: str = "") -> None:
        self.mistakes.add(line.start, line.end, Mistake(0, message, expected, nearest))

    def _directive(self, line: Directive) -> None:
        if handle := _CONDITIONALS.get(line.word):
            handle(self, line)
        elif self.at.dead is not None or line.word in _IGNORED or line.word.isdigit():
            return
        elif handle := _OTHERS.get(line.word):
            handle(self, line)
        else:
            known = [*_CONDITIONALS, *_OTHERS, "define"]
            asks = len(self.mistakes.problems) < limits.PROBLEMS
            near = next(iter(get_close_matches(line.word[:20], known, 1)), "") if asks else ""
            if near:
                self._wrong(line, f"#{line.word[:40]} is no directive", nearest=f"#{near}")
            else:
                self._wrong(line, "this # begins no directive", "// in front if it is a comment")

    def _if(self, line: Directive) -> None:
        if self.at.dead is None:
            self._open(
                line, self._verdict(line, self.at.context), shown(line.rest.text) or line.word
            )
        else:
            self._open(line, False, "")

    def _ifdef(self, line: Directive) -> None:
        if self.at.dead is None:
            self._open(line, *self._defined(line, self.at.context))
        else:
            self._open(line, False, "")

    def _open(self, line: Directive, verdict: bool | None, text: str) -> None:
        if line.start in self.unclosed and self.at.dead is None and not verdict:
            # Nobody knows how much of what stands behind it the missing end lets out.
            number = self.source.span(line.start, line.end).line
            verdict, text = None, f"the #if of line {number} is closed before it"
        if len(self.at.stack) == limits.DEFINE_NESTING:
            raise TooMuchError(f"conditionals more than {limits.DEFINE_NESTING} deep")
        self.at.open(line, verdict, text)

    def _verdict(self, line: Directive, context: Context) -> bool | None:
        found = judge(line.rest.text, context, self.headers.expansion)
        if not isinstance(found, Mistake):
            return found
        start = line.rest.place(found.at) if line.rest.text else line.start
        self.mistakes.add(start, line.end, Mistake(0, *_words(found)))
        return None

    def _defined(self, line: Directive, context: Context) -> tuple[bool | None, str]:
        negative = line.word.endswith("ndef")
        name = _NAME.match(line.rest.text)
        if name is None:
            self._wrong(line, f"#{line.word} asks for no name", "the name of a setting")
            return None, shown(line.rest.text) or line.word
        if rest := line.rest.text[name.end() :].strip():
            kind = "elif" if line.word.startswith("el") else "if"
            asks = f"#{kind} {'!' * negative}defined({name[0]}) {shown(rest)}"
            message = f"#{line.word} looks at one name only, so {shown(rest)!r} does not count"
            self._wrong(line, message, asks)
        found = self.headers.table.look(name[0], context)
        text = f"{'!' * negative}defined({name[0]})"
        if found in (MacroState.POSSIBLE, MacroState.UNHEARD):
            return None, text
        return (found is MacroState.OFF) is negative, text

    def _elif(self, line: Directive) -> None:
        if not self._continues(line):
            return
        context = self.at.next_context()
        if line.word == "elif":
            text = shown(line.rest.text) or line.word
            self.at.branch(None if context is None else self._verdict(line, context), text)
        else:
            unasked = None, f"{line.word[2:]} {shown(line.rest.text)}"
            self.at.branch(*(unasked if context is None else self._defined(line, context)))

    def _else(self, line: Directive) -> None:
        if self._continues(line):
            self.at.otherwise()

    def _continues(self, line: Directive) -> bool:
        """Return whether a branch can begin here."""
        if not self.at.stack:
            self._wrong(line, f"#{line.word} belongs to no #if", "an #if further up")
            return False
        top = self.at.stack[-1]
        if top.last:
            opener = self.source.span(top.opener.start, top.opener.end)
            message = f"#{line.word} comes after the #else of the #if in line {opener.line}"
            self._wrong(line, message, "#endif")
            return False
        return True

    def _endif(self, line: Directive) -> None:
        if self.at.stack:
            self.at.close()
        else:
            self._wrong(line, "#endif closes no #if", "an #if further up")

    def _conflict(self, line: Directive) -> None:
        """Take both sides of an unsettled merge for possible, and say so once."""
        if line.word == CONFLICT[0]:
            number = self.source.span(line.start, line.end).line
            message = "two versions of these lines stand here, left by a merge"
            self._wrong(line, message, "one of them, without the marks")
            if self.source.text.find(f"\n{CONFLICT[2]}", line.start) >= 0:
                verdict = None if self.at.dead is None else False
                self._open(line, verdict, f"line {number} is settled")
        elif self.at.stack and self.at.stack[-1].opener.word == CONFLICT[0]:
            if line.word == CONFLICT[1]:
                self.at.otherwise()
            else:
                self._endif(line)

    def _undef(self, line: Directive) -> None:
        if name := _NAME.match(line.rest.text):
            self._set(name[0], None)
        else:
            self._wrong(line, "#undef gives no name", "the name of a setting")

    def _error(self, line: Directive) -> None:
        if not self.at.context:
            words = shown(line.rest.text).strip('"')
            self._wrong(line, f"the configuration itself refuses to be built: {words}")
        else:
            branch = self.at.context[-1]
            self.headers.refused.add((branch.conditional, branch.number))

    def _include(self, line: Directive) -> None:
        text = line.rest.text[: limits.DEFINE_EXPRESSION_CHARS]
        form = _FILE.match(text)
        if form is None:
            try:
                form = _FILE.match(self.headers.expansion.value(text, self.at.context).strip())
            except UndecidedError:
                form = None
        if form is None and not _NAME.fullmatch(text):
            self._wrong(line, "#include names no file", 'a name in quotes, as in "pins.h"')
            return
        name = (form[1] or form[2]) if form else text
        target = self.headers.target(self.source, name)
        if target is None:
            if not form or form[1]:
                self._ask(line, name)
        elif self.headers.sources[target].unread:
            self._ask(line, name, self.headers.sources[target])
        elif target in self.headers.inside and not self.headers.guarded(target):
            inside = self.headers.inside[self.headers.inside.index(target) :]
            around = " includes ".join(self.headers.sources[at].name for at in inside)
            self._wrong(line, f"headers include each other without end: {around} includes {name}")
        elif len(self.headers.inside) > limits.INCLUDE_DEPTH:
            raise TooMuchError(
                f"headers that include each other more than {limits.INCLUDE_DEPTH} deep"
            )
        elif target not in self.headers.met:
            Preprocessing(self.headers, target, self.at.context).through()

    def _ask(self, line: Directive, name: str, file: Source | None = None) -> None:
        """Note a file that nobody sent, or that is there and could not be taken in."""
        if name.rpartition("/")[2] in SETS_NOTHING:
            return
        key_end = line.start + len(self.source.text[line.start : line.rest.place(0)].rstrip())
        asked_by = Setting(
            style="define",
            source=self.source,
            section="",
            key="#include",
            value=self.source.text[line.rest.place(0) : line.end],
            start=line.start,
            end=line.end,
            key_start=line.start,
            key_end=key_end,
            value_start=line.rest.place(0),
            value_end=line.end,
            activity=Activity.POSSIBLE if self.at.context else Activity.ACTIVE,
            condition=joined(branch.text for branch in self.at.context) if self.at.context else "",
        )
        if file and name not in self.headers.not_sent:
            self.headers.problems.append(unread(file, asked_by))
        missing = NotSent(cut(name, 120), asked_by, why=file.unread if file else "")
        self.headers.not_sent.setdefault(name, missing)


def _unclosed(lines: Iterable[HeaderLine]) -> frozenset[int]:
    """Return where the conditionals begin that no line closes."""
    open_: list[int] = []
    for line in lines:
        if isinstance(line, Directive) and line.word in ("if", "ifdef", "ifndef"):
            open_.append(line.start)
        elif isinstance(line, Directive) and line.word == "endif" and open_:
            open_.pop()
    return frozenset(open_)


def _words(mistake: Mistake) -> tuple[str, str, str]:
    return mistake.message, mistake.expected, mistake.nearest


_Handler = Callable[[Preprocessing, Directive], None]
_CONDITIONALS: dict[str, _Handler] = {
    "if": Preprocessing._if,
    "ifdef": Preprocessing._ifdef,
    "ifndef": Preprocessing._ifdef,
    "elif": Preprocessing._elif,
    "elifdef": Preprocessing._elif,
    "elifndef": Preprocessing._elif,
    "else": Preprocessing._else,
    "endif": Preprocessing._endif,
    **dict.fromkeys(CONFLICT, Preprocessing._conflict),
}
_OTHERS: dict[str, _Handler] = {
    "undef": Preprocessing._undef,
    "error": Preprocessing._error,
    "include": Preprocessing._include,
    "include_next": Preprocessing._include,
    "import": Preprocessing._include,
}
_IGNORED = frozenset(("", "pragma", "warning", "line", "ident", "assert"))

"""From the rows of a finished run to settings: which count, and what their values come to."""

import re
from collections.abc import Iterator, Sequence

from pincheck.model import limits
from pincheck.model.problem import TooMuchError, refusal
from pincheck.model.setting import Activity, Setting
from pincheck.readers.define import expression
from pincheck.readers.define.arguments import UndecidedError
from pincheck.readers.define.conditionals import joined, negated
from pincheck.readers.define.expansion import EndlessError
from pincheck.readers.define.headers import Headers
from pincheck.readers.define.lines import BLANKS, DefineLine
from pincheck.readers.define.table import Context
from pincheck.readers.mistakes import Mistake

_NUMBER = r"-?(?:0|[1-9]\d*)(?:\.\d*)?"
_FINAL = re.compile(
    rf"""{_NUMBER} | "[^"\\]*" | '[^'\\]*' | \{{ \s* {_NUMBER} (?:\s*,\s*{_NUMBER})* \s* \}} | """,
    re.VERBOSE,
)
_RIVALS_SHOWN = 3
_WORD = re.compile(r"[\w.]+")

Answer = tuple[str | None, str]
"""What a value comes to, or None and the reason why nobody knows."""


class Settings:
    """Turns rows into settings, working out each distinct value once."""

    def __init__(self, headers: Headers) -> None:
        self.headers = headers
        self.answers: dict[Context, dict[str, Answer]] = {(): {"": ("", "")}}
        self.conditions: dict[tuple[Context, ...], str] = {(): ""}
        self.alike: dict[str, int | None] = {}

    def all(self) -> Iterator[Setting]:
        """Yield a setting for each row, in the order met."""
        lost, meanings = self.headers.lost, self.headers.table.meanings
        sources, known = self.headers.sources, self.answers[()]
        for number, (file, define, context, dead) in enumerate(self.headers.rows):
            name, value, start, end, key_start, key_end, begin, stop, noted, body, named = define
            condition, resolved, unknown = "", None, ""
            if noted:
                activity = Activity.COMMENTED
                condition = dead or (self._condition((context,)) if context else "")
            elif dead is not None:
                activity, condition = Activity.DISABLED, dead
            elif number in lost:
                activity = Activity.DISABLED
            else:
                activity = Activity.ACTIVE
                if context or len(meanings[name]) > 1:
                    activity, condition = self._contested(number, define, context)
                answer = None if context or named is not None else known.get(body)
                resolved, unknown = answer or self._answer(file, define, context)
            yield Setting(
                "define",
                sources[file],
                "",
                name,
                value,
                start,
                end,
                key_start,
                key_end,
                begin,
                stop,
                activity,
                condition,
                resolved,
                unknown,
            )

    def _contested(self, row: int, define: DefineLine, context: Context) -> tuple[Activity, str]:
        """Return whether a define counts beside others of its name, and under which condition."""
        if (last := self._agreed(define.name)) is not None:
            return (Activity.ACTIVE if row == last else Activity.DISABLED), ""
        rivals = self.headers.table.rivals(row, define, context)
        if any(context[: len(rival)] == rival for rival in rivals):
            return Activity.DISABLED, ""
        activity = Activity.POSSIBLE if context or rivals else Activity.ACTIVE
        return activity, self._condition((context, *rivals))

    def _agreed(self, name: str) -> int | None:
        """Return the last row of a name that every branch that can be built sets alike."""
        if name not in self.alike:
            meanings, rows = self.headers.table.meanings[name], self.headers.rows
            contexts = [meaning.context for meaning in meanings]
            same = len(meanings) > 1 and self._cover(contexts, f"!defined({name})")
            told = {
                self._answer(rows[it.row][0], it.define, it.context)[0] if it.define else None
                for it in (meanings if same else ())
            }
            agreed = len(told) == 1 and None not in told
            self.alike[name] = meanings[-1].row if agreed else None
        return self.alike[name]

    def _cover(self, contexts: Sequence[Context], guard: str) -> bool:
        """Return whether one of the contexts holds whatever is decided; where the name is asked
        for itself (`guard`), it is set already in the other case."""
        if not all(contexts):
            return True
        for number in dict.fromkeys(context[0].conditional for context in contexts):
            mine = [context for context in contexts if context[0].conditional == number]
            branches, surely = self.headers.closed.get(number, (set(), False))
            rest = (
                [context[1:] for context in mine if context[0].number == branch]
                for branch in branches
                if (number, branch) not in self.headers.refused
            )
            asked = mine[0][0].text == guard and len(contexts) > len(mine)
            if (surely or asked) and all(part and self._cover(part, guard) for part in rest):
                return True
        return False

    def _condition(self, contexts: tuple[Context, ...]) -> str:
        """Return when the first context holds and none of the others does."""
        if contexts not in self.conditions:
            own, *others = contexts
            texts = [branch.text for branch in own]
            for other in others[:_RIVALS_SHOWN]:
                beyond = [branch.text for branch in other if branch not in own]
                texts.append(negated(joined(beyond)))
            texts += ["..."] * (len(others) > _RIVALS_SHOWN)
            self.conditions[contexts] = joined(texts) if texts else ""
        return self.conditions[contexts]

    def _answer(self, file: int, define: DefineLine, context: Context) -> Answer:
        if define.parameters is not None:
            return None, f"{define.name}( ) has no value before it is used"
        answers = self.answers.setdefault(context, {})
        if define.body not in answers:
            answer = self._work_out(file, define, context)
            if self.headers.expansion.circular:
                return answer
            answers[define.body] = answer
        return answers[define.body]

    def _work_out(self, file: int, define: DefineLine, context: Context) -> Answer:
        body = define.body
        if len(body) > limits.DEFINE_EXPRESSION_CHARS:
            return None, f"the value has more than {limits.DEFINE_EXPRESSION_CHARS} characters"
        if _FINAL.fullmatch(body):
            return body, ""
        try:
            expansion = self.headers.expansion
            text = expansion.value(body, context, define.name).strip(BLANKS)
            expansion.count(text)
            return _computed(text)
        except EndlessError as error:
            mistakes = self.headers.mistakes[file]
            mistakes.add(define.start, define.end, Mistake(0, str(error), ""))
            return None, str(error)
        except UndecidedError as error:
            return None, str(error)
        except TooMuchError as error:
            raise refusal(self.headers.sources[file], define.start, str(error)) from None


def _computed(text: str) -> Answer:
    """Return what a value without macros comes to."""
    if _FINAL.fullmatch(text) or text.isidentifier():
        return text, ""
    found = expression.value(text)
    if isinstance(found, Mistake):
        return (None, found.message) if found.expected == ")" else (text, "")
    spelt = expression.spell(found)
    if isinstance(spelt, str):
        return spelt, ""
    if isinstance(spelt, expression.Unknown):
        names = sorted(spelt.names)
        are = "are" if len(names) > 1 else "is"
        return None, f"{', '.join(names)} {are} not defined in the headers sent"
    return (text, "") if _WORD.fullmatch(text) else (None, spelt.reason)

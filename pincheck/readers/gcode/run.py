"""Goes through a script line by line, as the controller would at start-up."""

import re
from collections.abc import Iterator, Sequence, Set

from attrs import define, field

from pincheck.model import limits
from pincheck.model.problem import Problem, UnreadableError, refusal
from pincheck.model.reading import NotSent
from pincheck.model.setting import Activity, Setting
from pincheck.model.source import Source
from pincheck.readers.gcode.blocks import Block, Blocks, Truth, both, joined, opposite
from pincheck.readers.gcode.command_words import Command, CommandWord, commands, is_remark
from pincheck.readers.gcode.explain import explain
from pincheck.readers.gcode.expression import Evaluated, NotKnown
from pincheck.readers.gcode.files import OVERRIDE, ScriptFiles
from pincheck.readers.gcode.kinds import BY_AXIS, FOLLOWED, FURTHER, plain, selectors
from pincheck.readers.gcode.lacking import lacking
from pincheck.readers.gcode.objects import Objects
from pincheck.readers.gcode.values import Budget, Values
from pincheck.readers.mistakes import MERGE, MERGED, Mistake, Mistakes

_LINE = re.compile(r"^([^\S\n]*+)([^\n]+)", re.MULTILINE)
_REMARK = re.compile(r";[;\s]*")
_WORD_OF_CONTROL = re.compile(
    r"(if|elif|else|while|var|global|set|echo|abort|break|continue|skip)(?![\w.])"
)
_STATEMENT = re.compile(r'(?:[^";\n]|"(?:[^"\n]|"")*")*+')
_ASSIGNMENT = re.compile(r"\s*([A-Za-z_][\w.]*)\s*(\[[^=]*\])?\s*=(?!=)\s*")
_RUN = (Activity.ACTIVE, Activity.POSSIBLE, Activity.LATER)
_SET = re.compile(r"set\s+([A-Za-z_][\w.]*)")


@define
class Execution:
    """What all scripts of one machine share: files, variables, objects, what they come to.

    `start` is the script of start-up, where it is known. Where it has run, `later` is what each
    line counts as that may run at all.
    """

    sources: Sequence[Source]
    start: Source | None = None
    later: Activity | None = None
    settings: list[Setting] = field(factory=list)
    problems: list[Problem] = field(factory=list)
    mistakes: dict[str, Mistakes] = field(factory=dict)
    not_sent: dict[str, NotSent] = field(factory=dict)
    variables: dict[str, Evaluated] = field(factory=dict)
    budget: Budget = field(factory=Budget)
    sections: set[str] = field(factory=set)
    objects: Objects = field(factory=Objects)
    calls: int = 0
    lines: int = 0
    files: ScriptFiles = field()

    @files.default
    def _all_files(self) -> ScriptFiles:
        return ScriptFiles(self.sources, self.start)


@define
class Script:
    """One run of one script; `parameters` are those of the call, as `param.S`."""

    machine: Execution
    source: Source
    blocks: Blocks = field(factory=Blocks)
    parameters: dict[str, Evaluated] = field(factory=dict)
    trail: tuple[str, ...] = ()
    mistakes: Mistakes = field(init=False)
    values: Values = field(init=False)

    def run(self) -> None:
        """Read the whole script."""
        known = self.machine.mistakes
        # Another run of the same script would find the same mistakes again.
        again = self.source.name in known
        self.mistakes = Mistakes(self.source)
        if not again:
            known[self.source.name] = self.mistakes
        self.values = Values(
            self.source.text,
            self.mistakes,
            self.machine.variables,
            self.parameters,
            self.machine.budget,
            complete=not self.machine.not_sent,
        )
        for line in _LINE.finditer(self.source.text):
            self._line(line)

    def _line(self, line: re.Match[str]) -> None:
        text = self.source.text
        start, end = line.start(2), line.start(2) + len(line[2].rstrip())
        self.machine.lines += 1
        if self.machine.lines > limits.LINES:
            raise self._refusal(start, f"more than {limits.LINES:,} lines in all")
        if start == end:
            return
        if text[start] == ";":
            self._commented_out(start, end)
            return
        indent = _width(line[1])
        last = self.blocks.close(indent)
        if last:
            self.values.forget(last.variables)
        control = _WORD_OF_CONTROL.match(text, start, end)
        if control:
            self._control(control[1], control.end(), end, indent, last)
            return
        found = False
        for command in commands(text, start, end):
            found = True
            if command.mistake:
                self.mistakes.add(command.start, end, command.mistake)
            self._command(command)
        if not found and not is_remark(text, start, end) and not self._merge(start, end):
            self.mistakes.add(start, end, explain(text[start:end]))

    def _merge(self, start: int, end: int) -> bool:
        """Take both sides of an unsettled merge for possible, and say so once."""
        text = self.source.text
        mark = MERGE.match(text, start, end)
        if mark is None or not (mark["open"] or self.blocks.merging):
            return False
        if mark["open"]:
            line = self.source.span(start, end).line
            self.mistakes.add(start, end, MERGED)
            self.blocks.doubt(f"the merge begun in line {line} ends so")
        elif mark["close"]:
            self.blocks.settle()
        return True

    def _commented_out(self, start: int, end: int) -> None:
        text = self.source.text
        inner = _REMARK.match(text, start, end)
        for command in commands(text, inner.end() if inner else start, end):
            if command.mistake and not command.words:
                return
            self._settings(command, Activity.COMMENTED, "", start)

    def _command(self, command: Command) -> None:
        if command.words or not command.mistake:
            activity = self.blocks.activity()
            if self.machine.later and activity is not Activity.DISABLED:
                activity = self.machine.later
            self._settings(command, activity, self.blocks.why())
            if activity is Activity.ACTIVE and (lacks := lacking(command)):
                end = command.words[-1].end
                self.mistakes.add(command.start, end, Mistake(0, *lacks))
        if command.name == "M505":
            self._move(command)
        elif command.name in ("M98", "M501"):
            self._call(command)
            self.values.complete = not self.machine.not_sent
        elif command.name == "M99":
            self._end(command.start)

    def _settings(
        self, command: Command, activity: Activity, condition: str, mark: int | None = None
    ) -> None:
        machine = self.machine
        words = command.words
        if not words:
            end = command.end
            words = (CommandWord("", command.start, end, end, end, end, "none"),)
        for section, letter, number, left_out in self._sections(command):
            first = len(machine.settings)
            machine.sections.add(section)
            if len(machine.sections) > limits.SECTIONS:
                bound = f"more than {limits.SECTIONS:,} different things are set"
                raise self._refusal(command.start, bound)
            for word in words:
                if word.key in left_out:
                    continue
                if len(machine.settings) >= limits.SETTINGS:
                    bound = f"more than {limits.SETTINGS:,} settings"
                    raise self._refusal(command.start, bound)
                resolved = self.values.resolve(word)
                machine.settings.append(
                    Setting(
                        "gcode",
                        self.source,
                        section,
                        word.key,
                        self.source.text[word.value_start : word.value_end],
                        word.start if mark is None else mark,
                        word.end,
                        word.start if not word.key else word.key_end - 1,
                        word.key_end,
                        word.value_start,
                        word.value_end,
                        activity,
                        condition,
                        None if isinstance(resolved, NotKnown) else resolved,
                        resolved.reason if isinstance(resolved, NotKnown) else "",
                    )
                )
            if command.name in FOLLOWED and activity in _RUN:
                made = machine.settings[first:]
                machine.objects.run(command.name, letter, number, made, machine.not_sent)

    def _sections(self, command: Command) -> Iterator[tuple[str, str, str, Set[str]]]:
        """Yield the sections of a command: the name, the letter and number of what it is about,
        and the letters that belong to another of them."""
        chosen = {word.key: word for word in reversed(tuple(selectors(command)))}
        for key, word in reversed(chosen.items()):
            if command.name in BY_AXIS:
                yield f"{command.name} {key}", key, key, chosen.keys() - {key}
                continue
            number = self._shown(word)
            section = f"{command.name} {key}{number}{self._further(command)}"
            yield section, key, number, frozenset()
        if not chosen:
            yield f"{command.name}{self._further(command)}", "", "", frozenset()

    def _further(self, command: Command) -> str:
        """Return what tells several of one thing apart, the first of them not named."""
        letter = FURTHER.get(command.name)
        if letter is None:
            return ""
        word = next((word for word in command.words if word.key == letter), None)
        number = self._shown(word) if word else "0"
        return "" if number == "0" else f" {letter}{number}"

    def _shown(self, word: CommandWord) -> str:
        value = self.values.resolve(word)
        written = self.source.text[word.value_start : word.value_end]
        return plain(written if isinstance(value, NotKnown) else value)

    def _control(self, word: str, at: int, end: int, indent: int, last: Block | None) -> None:
        statement = _STATEMENT.match(self.source.text, at, end)
        stop = statement.end() if statement else at
        rest = self.source.text[at:stop].rstrip()
        if word in ("if", "elif", "else", "while"):
            self._branch(word, at, rest, indent, last)
        elif word in ("var", "global", "set"):
            self._assign(word, at, at + len(rest))
        elif word == "abort":
            self._end(at)

    def _branch(self, word: str, at: int, rest: str, indent: int, last: Block | None) -> None:
        if len(self.blocks.open) >= limits.BLOCK_DEPTH:
            raise self._refusal(at, f"blocks more than {limits.BLOCK_DEPTH} deep")
        before = self.blocks.chain(last, indent) if word in ("elif", "else") else None
        if word in ("elif", "else") and before is None:
            message = f"no `if` of the same indentation stands above this `{word}`"
            self.mistakes.add(at - len(word), at, Mistake(0, message, "`if` and the same blanks"))
        missed: Truth = both(before.missed, opposite(before.own)) if before else True
        refused = joined(before.refused, f"not ({before.text})") if before else ""
        own: Truth = None
        if word == "while" and not self.blocks.loops():
            self._forget(at + len(rest), indent)
        if word == "else":
            own = None if before is None else True
        elif not rest.strip() and (word != "elif" or before):
            mistake = Mistake(0, f"`{word}` has no condition", "a condition behind it")
            self.mistakes.add(at - len(word), at, mistake)
        else:
            value = self.values.evaluate(rest, at)
            own = None if isinstance(value, NotKnown) else bool(value)
        text = " ".join(rest.split()) or ("" if word == "else" else "its condition is met")
        text = text[: limits.CONDITION_CHARS]
        self.blocks.enter(Block(indent, word, own, text, missed, refused))

    def _forget(self, at: int, indent: int) -> None:
        """Take the variables that a loop sets for unknown from its beginning on."""
        for line in _LINE.finditer(self.source.text, at):
            if line[2][0] == ";":
                continue
            if _width(line[1]) <= indent:
                return
            if change := _SET.match(line[2]):
                self.values.store(change[1], NotKnown(f"{change[1]} changes in a loop"))

    def _assign(self, word: str, at: int, end: int) -> None:
        text = self.source.text
        target = _ASSIGNMENT.match(text, at, end)
        if target is None or target.end() >= end:
            message = f"`{word}` gives no variable a value"
            self.mistakes.add(at - len(word), end, Mistake(0, message, f"`{word} name = value`"))
            return
        name = target[1] if word == "set" else f"{word}.{target[1]}"
        value = self.values.evaluate(text[target.end() : end], target.end())
        runs = self.blocks.runs()
        if runs is False:
            return
        if runs is None:
            value = NotKnown(f"{name} is set only if {self.blocks.why()}")
        elif target[2]:
            value = NotKnown(f"{name} is changed in part")
        elif word == "set" and self.blocks.loops():
            value = NotKnown(f"{name} changes in a loop")
        if word == "var" and self.blocks.open:
            self.blocks.open[-1].variables.add(name)
        self.values.store(name, value)

    def _end(self, at: int) -> None:
        """End the script here: what follows runs only where this line does not."""
        runs = self.blocks.runs()
        if runs is False:
            return
        self.blocks.leave(f"line {self.source.span(at, at).line} does not end the script")

    def _move(self, command: Command) -> None:
        path = next((word for word in command.words if word.key == "P"), None)
        folder = self.values.resolve(path) if path and self.blocks.runs() else None
        if isinstance(folder, str):
            self.machine.files.move(folder, self.source)

    def _call(self, command: Command) -> None:
        machine, runs = self.machine, self.blocks.runs()
        path = next((word for word in command.words if word.key == "P"), None)
        if runs is False or (command.name == "M98" and path is None):
            return
        resolved = self.values.resolve(path) if path and command.name == "M98" else OVERRIDE
        known = not isinstance(resolved, NotKnown)
        target = machine.files.named(str(resolved), self.source) if known else None
        machine.calls += 1
        if machine.calls > limits.CALLS:
            raise self._refusal(command.start, f"more than {limits.CALLS} script calls")
        if target is None:
            if command.name == "M98" and path:
                written = self.source.text[path.value_start : path.value_end]
                asked_by = next(
                    it for it in reversed(machine.settings) if it.value_start == path.value_start
                )
                machine.not_sent.setdefault(written.lower(), NotSent(written, asked_by))
            return
        trail = (*self.trail, self.source.name)
        if target.name in trail:
            if runs:
                chain = " -> ".join((*trail[trail.index(target.name) :], target.name))
                mistake = Mistake(0, f"the call goes in a circle: {chain}", "no way back")
                self.mistakes.add(command.start, command.words[-1].end, mistake)
        elif len(trail) > limits.CALL_DEPTH:
            bound = f"scripts that call each other more than {limits.CALL_DEPTH} deep"
            raise self._refusal(command.start, bound)
        else:
            parameters = {
                f"param.{word.key}": self.values.parameter(word) for word in command.words
            }
            blocks = Blocks(runs, self.blocks.why())
            Script(machine, target, blocks, parameters, trail).run()

    def _refusal(self, at: int, bound: str) -> UnreadableError:
        return refusal(self.source, at, bound)


def _width(blanks: str) -> int:
    """Return the indentation: a tab leads to the next multiple of four, as in the firmware."""
    width = 0
    for blank in blanks:
        width = (width // 4 + 1) * 4 if blank == "\t" else width + 1
    return width

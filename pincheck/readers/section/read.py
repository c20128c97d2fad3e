"""The files of one machine in the section style to settings, in the firmware's order."""

from collections.abc import Sequence

from attrs import define, evolve, field

from pincheck.model import limits
from pincheck.model.printable import cut
from pincheck.model.problem import Problem, UnreadableError, refusal
from pincheck.model.reading import NotSent, Reading
from pincheck.model.setting import Activity, Setting
from pincheck.model.source import Source
from pincheck.readers.mistakes import Mistakes, unread
from pincheck.readers.section import saved
from pincheck.readers.section.include import IncludeFiles, is_pattern, main_files, roots
from pincheck.readers.section.lines import INCLUDE, Parsed, parse


def read(
    sources: Sequence[Source], starts: Sequence[Source] = (), others: Sequence[Source] = ()
) -> Reading:
    """Return the settings of one machine.

    Reading starts at each of `starts`, without them at the main file, else at each file that no
    other includes; `others` are further files at hand. An include is read in its place. The last
    of several assignments to one key counts, but the saved block behind the main text only adds
    what the text leaves out; losers are `DISABLED` and paired with their winner. Keys are
    lower-cased, as the firmware does. A section's header is a setting of its own, with an empty
    key. Nothing outside `sources` and `others` is ever read.

    Raises:
        UnreadableError: there is more of something than any machine has.
    """
    walk = _Walk(IncludeFiles((*sources, *others)))
    for source in starts or list(main_files(sources)[:1] or roots(sources)) or sources:
        if source.name not in walk.parsed:
            walk.start(source)
    settings, overridden = _precedence(walk.met)
    not_sent = tuple(walk.not_sent.values())
    return Reading("section", tuple(sources), settings, overridden, not_sent, tuple(walk.problems))


@define
class _Walk:
    """Follows the includes from one file on."""

    files: IncludeFiles
    met: list[Setting] = field(factory=list)
    problems: list[Problem] = field(factory=list)
    not_sent: dict[str, NotSent] = field(factory=dict)
    parsed: dict[str, Parsed] = field(factory=dict)
    trail: list[Source] = field(factory=list)
    includes: int = 0
    sections: int = 0
    lines: int = 0
    circles: set[int] = field(factory=set)

    def start(self, source: Source) -> None:
        self._count_lines(source)
        block = saved.find(source)
        self._file(source, block.start if block else len(source.text))
        if block is None:
            return
        if block.mistake:
            mistakes = Mistakes(source)
            mistakes.add(block.mistake_at, block.mistake_end, block.mistake)
            self.problems += mistakes.problems
        # To the firmware a changed block is a comment, in which nothing can be wrong.
        inner = parse(source, block.text, block.start, block.end, block.activity, block.condition)
        behind = parse(source, source.text, block.end, len(source.text))
        self.problems += (*(() if block.mistake else inner.problems), *behind.problems)
        added = tuple(evolve(setting, saved=True) for setting in inner.settings)
        for part in (evolve(inner, settings=added), behind):
            self._follow(source, part)

    def _file(self, source: Source, end: int) -> None:
        part = self.parsed.get(source.name)
        if part is None:
            part = self.parsed[source.name] = parse(source, source.text, 0, end)
            self.problems += part.problems
        self.trail.append(source)
        self._follow(source, part)
        self.trail.pop()

    def _follow(self, source: Source, part: Parsed) -> None:
        for setting in part.settings:
            if len(self.met) == limits.SETTINGS:
                raise _refusal(setting, f"more than {limits.SETTINGS:,} settings")
            self.sections += not setting.key
            if self.sections > limits.SECTIONS:
                raise _refusal(setting, f"more than {limits.SECTIONS:,} sections")
            self.met.append(setting)
            if (
                not setting.key
                and setting.activity is not Activity.COMMENTED
                and setting.section.startswith(INCLUDE)
            ):
                self._include(source, setting)

    def _include(self, source: Source, setting: Setting) -> None:
        path = setting.value[len(INCLUDE) :].strip()
        found = self.files.named(path, source)
        self.includes += max(1, len(found))
        if self.includes > limits.INCLUDES:
            raise _refusal(setting, f"more than {limits.INCLUDES} includes")
        if not found:
            target = self.files.target(path, source)
            self.not_sent.setdefault(target, NotSent(cut(path, 120), setting, is_pattern(path)))
        for target_file in found:
            if target_file.unread:
                self._unread(setting, target_file)
            elif target_file in self.trail:
                if id(setting) not in self.circles:
                    self.circles.add(id(setting))
                    names = [it.name for it in self.trail[self.trail.index(target_file) :]]
                    chain = " -> ".join((*names, target_file.name))
                    self._circle(setting, chain)
            elif len(self.trail) > limits.INCLUDE_DEPTH:
                raise _refusal(setting, f"includes more than {limits.INCLUDE_DEPTH} deep")
            else:
                if target_file.name not in self.parsed:
                    self._count_lines(target_file)
                self._file(target_file, len(target_file.text))

    def _unread(self, setting: Setting, file: Source) -> None:
        """Note a file that is there and could not be taken in."""
        if file.name not in self.not_sent:
            self.not_sent[file.name] = NotSent(file.name, setting, why=file.unread)
            self.problems.append(unread(file, setting))

    def _count_lines(self, source: Source) -> None:
        self.lines += source.text.count("\n")
        if self.lines > limits.LINES:
            raise refusal(source, 0, f"more than {limits.LINES:,} lines in all")

    def _circle(self, setting: Setting, chain: str) -> None:
        text = setting.source.line(setting.span.line)[: limits.PROBLEM_CHARS]
        message = f"the include goes in a circle: {chain}"
        self.problems.append(
            Problem(setting.source.name, message, setting.span, text, "no way back")
        )


def _refusal(setting: Setting, bound: str) -> UnreadableError:
    return refusal(setting.source, setting.start, bound)


def _precedence(
    met: Sequence[Setting],
) -> tuple[tuple[Setting, ...], tuple[tuple[Setting, Setting], ...]]:
    """Return every setting once, losers disabled, and the pairs of loser and winner.

    A saved value gives way to any of the main text, perhaps to one that counts only perhaps.
    """
    once = tuple({id(setting): setting for setting in met}.values())
    told = [it for it in met if it.key and it.activity in (Activity.ACTIVE, Activity.POSSIBLE)]
    ordered = sorted(told, key=lambda it: not it.saved)
    winners = {(it.section, it.key): it for it in ordered if it.activity is Activity.ACTIVE}
    perhaps = {(it.section, it.key) for it in told if not (it.saved or _is_certain(it))}
    changed: dict[int, Setting] = {}
    pairs: list[tuple[Setting, Setting]] = []
    for setting in once:
        spot = setting.section, setting.key
        winner = winners.get(spot)
        if winner and winner is not setting and (_is_certain(setting) or setting.saved):
            changed[id(setting)] = evolve(setting, activity=Activity.DISABLED)
            pairs += [(changed[id(setting)], winner)] * _is_certain(setting)
        elif winner is setting and setting.saved and spot in perhaps:
            why = "the main text leaves it out"
            changed[id(setting)] = evolve(setting, activity=Activity.POSSIBLE, condition=why)
    return tuple(changed.get(id(it), it) for it in once), tuple(pairs)


def _is_certain(setting: Setting) -> bool:
    return setting.key != "" and setting.activity is Activity.ACTIVE

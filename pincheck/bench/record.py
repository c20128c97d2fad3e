"""A walk as it is walked: what was read at each step, what that means, where it has to stop."""

from pathlib import Path

from attrs import define, field

from pincheck.analysis import roles
from pincheck.bench import readings
from pincheck.bench.step import Judgement, ReadingError, WalkStep, judge, parse
from pincheck.bench.walk import ROOM_ID, on_mains, walk
from pincheck.model.finding import Finding, Result, Severity
from pincheck.reports import sentences

STOP = "Stop here: no power before this is mended and checked again."
DONE = "done"
"""What is kept of a step that was done without reading anything."""


@define(eq=False)
class WalkRecord:
    """The steps of one machine with what was typed at each, by the steps' identifiers.

    `steps` end where the walk has to stop, `stops` says why: one line for each thing to mend.
    `left_out` are the roles that have no step because they are on mains. What is typed is kept
    in `file` where there is one, and taken up from there.
    """

    result: Result
    file: Path | None = None
    answers: dict[str, str] = field(factory=dict)
    left_out: tuple[str, ...] = ()
    all_steps: tuple[WalkStep, ...] = ()

    def __attrs_post_init__(self) -> None:
        if self.file:
            self.answers = {**readings.load(self.file, self.result.assembly.name), **self.answers}
        self.renew(self.result)

    def renew(self, result: Result) -> None:
        """Compute the steps anew for another check; readings stay with their steps."""
        self.result = result
        self.left_out = on_mains(result)
        self.all_steps = walk(result, self._room_c())

    def _room_c(self) -> float | None:
        try:
            return parse(self.answers.get(ROOM_ID, ""), "C")
        except ReadingError:
            return None

    @property
    def steps(self) -> tuple[WalkStep, ...]:
        """The steps that may be done: none with power while anything found before is wrong."""
        powered = next((n for n, s in enumerate(self.all_steps) if s.power == "on"), None)
        off = self.all_steps[:powered]
        if self._dangers() or any(map(self.failed, off)):
            return off
        first = next((n for n, step in enumerate(self.all_steps) if self.failed(step)), None)
        return self.all_steps if first is None else self.all_steps[: first + 1]

    @property
    def stops(self) -> tuple[str, ...]:
        """What to mend before the walk goes on, a sentence each; empty where it may."""
        return (*(finding.message for finding in self._dangers()), *self.wrong)

    @property
    def wrong(self) -> tuple[str, ...]:
        """What was found wrong at the bench, a sentence each."""
        judged = ((step, self.judgement(step)) for step in self.steps)
        return tuple(f"{s.title}: {j.said}." for s, j in judged if j and j.state == "contradicts")

    def _dangers(self) -> tuple[Finding, ...]:
        return tuple(f for f in self.result.findings if f.severity is Severity.DANGER)

    def failed(self, step: WalkStep) -> bool:
        """Return whether a step showed something wrong."""
        judgement = self.judgement(step)
        return judgement is not None and judgement.state == "contradicts"

    def done(self, step: WalkStep) -> bool:
        """Return whether a step was done and nothing was wrong, or nothing was read."""
        return step.id in self.answers and not self.failed(step)

    @property
    def open_steps(self) -> tuple[WalkStep, ...]:
        """The steps of the whole walk at which nothing was read or looked at yet."""
        return tuple(step for step in self.all_steps if self.judgement(step) is None)

    def read(self, step: WalkStep, typed: str) -> Judgement:
        """Take what was read or seen, keep it and say what it means.

        Raises:
            ReadingError: what was typed is none; nothing changed.
            UnreadableError, WriteRefusedError: it cannot be kept; nothing changed.
        """
        judgement = judge(step, typed)
        self._keep(step, typed.strip())
        return judgement

    def tick(self, step: WalkStep) -> None:
        """Note a step as done, or take back whatever was read there, a failed one too.

        Raises:
            UnreadableError, WriteRefusedError: it cannot be kept; nothing changed.
        """
        new = DONE if step.unit else "yes"
        self._keep(step, None if step.id in self.answers else new)

    def _keep(self, step: WalkStep, typed: str | None) -> None:
        if self.file:
            readings.store(self.file, self.result.assembly.name, step.id, typed)
        self.answers.pop(step.id, None)
        if typed is not None:
            self.answers[step.id] = typed
        if step.id == ROOM_ID:
            self.renew(self.result)

    def judgement(self, step: WalkStep) -> Judgement | None:
        """Return what was read at a step and what it means, None where nothing was."""
        typed = self.answers.get(step.id, DONE)
        try:
            return None if typed == DONE else judge(step, typed)
        except ReadingError:
            return None  # kept for a step that has another unit by now

    @property
    def headline(self) -> str:
        """The answer to "may I go on?" in one line: what the bench says stands before the paper."""
        paper = sentences.headline(self.result)
        names = [step.title for step in self.steps if self.failed(step)]
        if not names:
            return paper
        count = sentences.plural(len(names), "step", "steps")
        verb = "contradicts" if len(names) == 1 else "contradict"
        return f"Do not go on: {count} at the bench {verb} ({'; '.join(names)}). On paper: {paper}"

    def summary(self) -> str:
        """Return in one line how far the walk is and what disagreed."""
        done = sum(map(self.done, self.steps))
        unread = sum(self.answers.get(step.id) == DONE for step in self.steps)
        wrong = sum(map(self.failed, self.steps))
        judged = sum(self.judgement(step) is not None for step in self.steps)
        parts = [f"{done} of {len(self.all_steps)} steps done"]
        parts += [f"{unread} of them without a reading"] if unread else []
        parts += ["stops before power on"] if not any(s.power == "on" for s in self.steps) else []
        parts += [f"{judged} judged, {wrong} wrong"] if judged else []
        return "; ".join(parts)

    def mains(self) -> str:
        """Return which parts have no step and why; empty where nothing is on mains."""
        if self.left_out:
            named = roles.listed([f"the {roles.name(role)}" for role in self.left_out])
            said = f"No step for {named}, on mains. {sentences.CAUTIONS[1]}"
            return f"{said} Until that is done it stays disconnected."
        return "".join(sentences.cautions(self.result)[1:])

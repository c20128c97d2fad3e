"""The walk with the machine itself on the line: it is asked, and told what the person agrees to.

Only questions are sent unasked. What switches, heats or moves is shown and sent after a word of
its own, what ends it again goes out by itself.
"""

import re
from collections.abc import Callable, Iterator

from attrs import define, field

from pincheck import styles
from pincheck.bench.dialogue import Person
from pincheck.bench.record import WalkRecord
from pincheck.bench.step import Judgement, ReadingError, WalkStep
from pincheck.console.port import Clock, PortError
from pincheck.console.replies import switches, temperatures
from pincheck.console.talk import RestartedError, Talk, TalkError
from pincheck.styles.console import Console

MOST_C = 60.0
"""The highest target that is ever sent (`common practice`: warm, and harmful to nothing)."""

RISE_K = 1.5
"""What a hand does to a sensor within two minutes, and noise of a converter does not."""

_ASIDE_K = 4.0
"""What another sensor may rise while a heater warms its own: it stands beside it."""

_MINUTE_S, _HAND_S, _PRESS_S = 60.0, 120.0, 30.0
_CONNECTS, _CONNECT_S = 8, 2.0
_COLDEST_C = 0.0
_STALL_S = 60.0
"""A heater that its sensor does not feel by then heats something else, or nobody knows how hot."""

_LONGEST_HEAT_S = 1800.0
_HEATS = re.compile(r"(?:M1[049][0149]|M568|SET_HEATER_TEMPERATURE)\b", re.IGNORECASE)
_TARGET = re.compile(r"(?:\bS|TARGET=)(\d+(?:\.\d+)?)", re.IGNORECASE)
_BY_HAND = "The walk goes on by hand"
_UNSEEN = "the machine's answer does not tell it: look for yourself"


@define(eq=False)
class Machine:
    """Answers the steps that a machine on the line can answer; a `Answering` of the dialogue.

    `connect` opens the line when power is first on: before, the lead has to be out.
    """

    record: WalkRecord
    person: Person
    connect: Callable[[], Talk]
    clock: Clock
    _talk: Talk | None = None
    _gone: bool = False
    _greeted: bool = False
    _console: Console = field(init=False)

    def __attrs_post_init__(self) -> None:
        self._console = styles.of(self.record.result.claims.style).console

    def __call__(self, step: WalkStep) -> Judgement | None:
        """Return what the machine says of a step, None where the person has to."""
        if step.power == "off":
            self._hang_up()
        answer = _ANSWERS.get(step.asks)
        if answer is None or self._gone:
            return None
        for _ in range(2):
            try:
                self._greet()
                return answer(self, step)
            except RestartedError as error:
                self._say(f"! {error}. The step begins again: let go of everything.")
            except TalkError as error:
                self._gone = not self._greeted
                self._say(f"! {error}. {_BY_HAND if self._gone else _UNSEEN}.")
                return None
            except PortError as error:
                self._gone = True
                self._say(f"! {error}. Switch the machine off if anything was on. {_BY_HAND}.")
                return None
        return None

    def _hang_up(self) -> None:
        """Let go of the line: with the power off its lead is out, and it comes back as new."""
        if self._talk:
            self._talk.close()
        self._talk, self._gone, self._greeted = None, False, False

    def _greet(self) -> None:
        """Connect where nobody is on the line; a device takes some seconds to come back."""
        if self._greeted:
            return
        for left in reversed(range(_CONNECTS)):
            try:
                self._talk = self._talk or self.connect()
                break
            except PortError:
                if not left:
                    raise
                self.clock.pause(_CONNECT_S)
        assert self._talk
        said = " ".join(self._ask(self._console.identity))
        self._greeted = True
        self._say(f"On the line: {said[:160] or 'a machine that does not say what it is'}")

    def _say(self, *lines: str) -> None:
        self.person.told(lines)

    def _ask(self, command: str) -> tuple[str, ...]:
        assert self._talk
        return self._talk.ask(command)

    def _send(self, commands: tuple[str, ...]) -> None:
        for command in commands:
            if _HEATS.match(command) and any(float(t) > MOST_C for t in _TARGET.findall(command)):
                raise TalkError(f"{command} is not sent: above {MOST_C:g} C")
        for command in commands:
            self._ask(command)

    def _temperatures(self) -> dict[str, float]:
        """Return what every sensor of the wiring shows, in C by role."""
        shown = temperatures(self._ask(self._console.temperatures))
        found = {}
        for role in self.record.result.trace.roles():
            name = next((n for n in self._console.shown_as(role) if n in shown), "")
            if role.endswith(".sensor") and name:
                found[role] = shown[name].now_c
        return found

    def _switch(self, step: WalkStep) -> dict[str, bool]:
        """Return which switches are triggered: all that the answers to the asking steps tell."""
        asking = {s.commands[0] for s in self.record.all_steps if s.asks == "switch"}
        own = step.commands[0]
        states: dict[str, bool] = {}
        for command in (*sorted(asking - {own}), own):
            states.update(switches(self._ask(command)))
        return states

    def _polls(self, seconds: float, every: float) -> Iterator[float]:
        """Yield the seconds since the start, until they are over."""
        began = self.clock.now()
        while (passed := self.clock.now() - began) <= seconds:
            yield passed
            self.clock.pause(every)

    def _agrees_to(self, step: WalkStep) -> bool:
        """Show what would be sent and wait for the word."""
        self._say(f"to be sent: {'; '.join(step.commands)}")
        word = self.person.asked("type send to send it, skip to leave it: ")
        return word.strip().casefold() == "send"

    # What answers each kind of step

    def shown(self, step: WalkStep) -> Judgement | None:
        """Read a temperature."""
        found = self._temperatures().get(step.role)
        return None if found is None else self.record.read(step, f"{found:.1f}")

    def minute(self, step: WalkStep) -> Judgement | None:
        """Watch every figure for a minute; what smells or smokes the person says."""
        first = self._temperatures()
        for _ in self._polls(_MINUTE_S, 5.0):
            now = self._temperatures()
            self._say(_line(now))
            for role, was in first.items():
                if abs(now.get(role, 1e3) - was) > _ASIDE_K:
                    self._say(f"{role} went from {was:.1f} C to {now.get(role, 1e3):.1f} C.")
                    return self.record.read(step, "no")
        return None

    def hand(self, step: WalkStep) -> Judgement | None:
        """See which sensor rises as one is held."""
        before = self._temperatures()
        if step.role not in before:
            return None
        if self.person.asked("Enter once you hold it, skip to leave it: ").strip():
            return None
        for _ in self._polls(_HAND_S, 1.0):
            now = self._temperatures()
            rose = {r for r, was in before.items() if now.get(r, was) - was >= RISE_K}
            if rose:
                self._say(_line(now))
                if rose != {step.role}:
                    self._say(f"It is {' and '.join(sorted(rose))} that rose.")
                return self.record.read(step, "yes" if rose == {step.role} else "no")
        self._say(f"Nothing rose by {RISE_K:g} K in {_HAND_S:g} s.")
        return None

    def switch(self, step: WalkStep) -> Judgement | None:
        """See which switch changes as one is pressed."""
        names = self._console.switch_as(step.role)
        before = self._switch(step)
        own = next((name for name in names if name in before), "")
        if not own:
            return None
        if before[own]:
            self._say(f"{own} is triggered while nobody touches it.")
            return self.record.read(step, "no")
        self._say("Press it now and hold it." if own != "filament" else "Pull the filament out.")
        for _ in self._polls(_PRESS_S, 0.5):
            now = self._switch(step)
            changed = {name for name, was in before.items() if now.get(name, was) != was}
            if changed:
                self._say(f"{' and '.join(sorted(changed))} changed.")
                return self.record.read(step, "yes" if own in changed else "no")
        self._say(f"Nothing changed in {_PRESS_S:g} s.")
        return self.record.read(step, "no")

    def sent(self, step: WalkStep) -> Judgement | None:
        """Send what the person agrees to, and ask whether it did what it should."""
        if not step.commands or not self._agrees_to(step):
            return None
        try:
            self._send(step.commands)
            return self._looked(step)
        finally:
            self._send(step.undo)

    def _looked(self, step: WalkStep) -> Judgement:
        while True:
            try:
                return self.record.read(step, self.person.asked("as it says? (yes/no): "))
            except ReadingError as error:
                self._say(str(error))

    def warms(self, step: WalkStep) -> Judgement | None:
        """Heat to a low target, watching every figure; off at once where another rises."""
        own = step.role.rpartition(".")[0] + ".sensor"
        before = self._temperatures()
        if own not in before or step.until_c is None:
            return None
        if not _COLDEST_C <= before[own] <= MOST_C:
            self._say(f"{own} shows {before[own]:.1f} C: no heat before that is right.")
            return self.record.read(step, "no")
        if not self._agrees_to(step):
            return None
        try:
            self._send(step.commands)
            typed = self._warmed(step, own, before)
        except PortError:
            self._say("! SWITCH THE MACHINE OFF NOW: the heater may be on and nobody watches it.")
            self.record.read(step, "no")
            raise
        finally:
            self._off(step)
        return self.record.read(step, typed)

    def _warmed(self, step: WalkStep, own: str, before: dict[str, float]) -> str:
        """Return what is to be noted: the seconds that it took, yes or no."""
        longest = _LONGEST_HEAT_S if step.high is None else step.high * 1.5
        stalls = _STALL_S if step.high is None else step.high / 2
        told = -10.0
        began = self.clock.now()
        for _ in self._polls(longest, 1.0):
            now, passed = self._temperatures(), self.clock.now() - began
            if passed - told >= 10:
                told = passed
                self._say(f"{passed:4.0f} s  {_line(now)}")
            for role, was in before.items():
                if role != own and now.get(role, 1e3) - was > _ASIDE_K:
                    self._say(f"{role} rises: off.")
                    return "no"
            if own not in now:
                self._say(f"{own} is no longer told: off.")
                return "no"
            if passed > stalls and now[own] - before[own] < RISE_K:
                self._say(f"{own} does not rise: off.")
                return "no"
            if step.until_c is not None and now[own] >= step.until_c:
                return f"{passed:.0f}" if step.unit else "yes"
        self._say(f"{own} is not at {step.until_c:g} C after {longest:.0f} s: off.")
        return f"{longest:.0f}" if step.unit else "no"

    def _off(self, step: WalkStep) -> None:
        """Switch a heater off, whatever went wrong; say so where that cannot be known."""
        if self._gone:
            return
        for _ in range(3):
            try:
                self._send(step.undo)
            except RestartedError:
                return  # a controller that started anew has every heater off
            except (TalkError, PortError) as error:
                said = str(error)
            else:
                return
        self._say(f"! SWITCH THE MACHINE OFF NOW: the heater could not be switched off ({said}).")


def _line(temperatures: dict[str, float]) -> str:
    return "  ".join(f"{role} {c:.1f} C" for role, c in sorted(temperatures.items()))


_ANSWERS: dict[str, Callable[[Machine, WalkStep], Judgement | None]] = {
    "shown": Machine.shown,
    "minute": Machine.minute,
    "hand": Machine.hand,
    "switch": Machine.switch,
    "sent": Machine.sent,
    "warms": Machine.warms,
}

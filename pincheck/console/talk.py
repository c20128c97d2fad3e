"""Questions to a machine and its answers, over a line that loses, garbles and repeats.

Every line is numbered and carries a checksum, so that noise turns no command into another: the
exclusive or of all bytes before the `*` (public documentation of each style's console).
"""

import re
from functools import reduce

from pincheck.console.port import Clock, Port
from pincheck.model.printable import printable

PATIENCE_S = 8.0
"""How long a machine may be silent: writing a card or the first reading takes some seconds."""

MOST_BUSY_S = 120.0
"""Longer than any move or wait that the walk sends."""

_TRIES = 4
_MOST_LINES = 400
"""An answer has some ten lines; more is another program's chatter or noise."""

_RESEND = re.compile(r"(?:resend|rs)\s*:?\s*N?(\d+)", re.IGNORECASE)
_BUSY = re.compile(r"(?:echo:\s*)?busy\b|wait$", re.IGNORECASE)
_STARTED = re.compile(r".*start$|.*\b(?:booting|restarted|reset by)\b", re.IGNORECASE)
"""The last line is cut where the controller starts anew: `ok T:2start`."""

_GARBLED = re.compile(
    r"error:\s*(?:checksum|no checksum|line number|no line number)", re.IGNORECASE
)
_REFUSED = re.compile(r"!!|error:|// error", re.IGNORECASE)


class TalkError(Exception):
    """A question came to nothing; the message says why. The machine may have done it or not."""


class RestartedError(TalkError):
    """The controller started anew in mid-sentence: whatever was set is off again."""


class Talk:
    """One conversation with one machine."""

    def __init__(self, port: Port, clock: Clock, patience_s: float = PATIENCE_S) -> None:
        self._port, self._clock, self._patience_s = port, clock, patience_s
        self._number = 0

    def ask(self, command: str) -> tuple[str, ...]:
        """Send one command and return the lines of its answer, safe to show, without the `ok`.

        Raises:
            TalkError: no answer, an error of the machine, or a command that is no plain line.
            RestartedError: the controller started anew.
            PortError: the port is gone.
        """
        if not (command.isascii() and command.isprintable() and "*" not in command):
            raise TalkError(f"{printable(command)} cannot be sent: it is no plain line")
        if not self._number:
            self._exchange("M110 N0", 0)
        self._number += 1
        return self._exchange(command, self._number)

    def close(self) -> None:
        """Hang up."""
        self._port.close()

    def _exchange(self, command: str, number: int) -> tuple[str, ...]:
        line = framed(command, number)
        for _ in range(_TRIES):
            self._port.write(line)
            lines, again = self._answer(number)
            if not again:
                return lines
        raise TalkError(f"no answer to {command} after {_TRIES} tries: {_silence(lines)}")

    def _answer(self, number: int) -> tuple[tuple[str, ...], bool]:
        """Return the lines up to the `ok`, and whether the line has to be sent again."""
        lines: list[str] = []
        again = arrived = False
        began = heard = self._clock.now()
        while len(lines) < _MOST_LINES:
            got = self._port.read_line(self._patience_s)
            now = self._clock.now()
            if got is None:
                return tuple(lines), not arrived
            said = printable(got.decode("ascii", "replace")).strip()
            if _BUSY.match(said):
                if now - began > MOST_BUSY_S:
                    raise TalkError(f"it says busy for {MOST_BUSY_S:g} s")
                continue
            if _STARTED.match(said):
                self._number = 0
                raise RestartedError("the controller started anew: every heater is off again")
            if resend := _RESEND.match(said):
                # A number past ours: ours was executed, and only its answer got lost.
                arrived = int(resend[1]) > number
                again = not arrived
                if int(resend[1]) < number:
                    self._number = 0
                    raise RestartedError("the controller lost count: it may have started anew")
            elif _is_ok(said):
                if rest := said[2:].strip():
                    lines.append(rest)
                return tuple(lines), again
            elif _REFUSED.match(said) and not _GARBLED.match(said):
                raise TalkError(f"the machine says: {said[:200]}")
            elif said and now - heard <= MOST_BUSY_S:
                lines.append(said)
        raise TalkError("it does not stop talking: another program may be sending")


def framed(command: str, number: int) -> bytes:
    """Return a command with its number and checksum, as it goes over the line."""
    body = f"N{number} {command}".encode("ascii")
    return body + f"*{reduce(lambda sum_, byte: sum_ ^ byte, body, 0)}\n".encode("ascii")


def _is_ok(said: str) -> bool:
    return said.lower() == "ok" or said.lower().startswith(("ok ", "ok:"))


def _silence(lines: tuple[str, ...]) -> str:
    return f"the last it said was {lines[-1][:80]}" if lines else "the line is silent"

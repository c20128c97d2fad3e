"""A serial port as lines of bytes."""

import os
import time
from importlib.util import find_spec
from typing import Protocol

from pincheck.model.printable import printable

try:
    import termios

    _GONE: tuple[type[Exception], ...] = (OSError, TypeError, termios.error)
except ImportError:  # no such lines on this system
    _GONE = (OSError, TypeError)
"""What the package lets through when a device goes away in the middle of a call."""

MOST_LINE_BYTES = 4096
"""The longest answer is some hundred bytes; what goes on without an end is noise."""


class PortError(Exception):
    """The port cannot be opened or is gone; the message says which."""


class Clock(Protocol):
    """Time as the walk sees it, in seconds."""

    def now(self) -> float: ...

    def pause(self, seconds: float) -> None: ...


class WallClock:
    """The time on the wall."""

    def now(self) -> float:
        return time.monotonic()

    def pause(self, seconds: float) -> None:
        time.sleep(seconds)


class Port(Protocol):
    """A line to a machine."""

    def read_line(self, within_s: float) -> bytes | None:
        """Return the next line without its end, None where none came in time.

        Raises:
            PortError: the port is gone.
        """
        ...

    def write(self, data: bytes) -> None:
        """Send bytes.

        Raises:
            PortError: the port is gone.
        """
        ...

    def close(self) -> None: ...


def require_serial() -> None:
    """See that the package for serial lines is there, before anybody begins a walk.

    Raises:
        PortError: it is not.
    """
    if find_spec("serial") is None:
        raise PortError("a serial port needs the package pyserial: pip install 'pincheck[serial]'")


class SerialPort:
    """A serial device, or a pseudo-terminal that stands for one."""

    def __init__(self, device: str, baud: int) -> None:
        """Open a device.

        Raises:
            PortError: it cannot be opened.
        """
        import serial

        self.device, self._rest = device, b""
        try:
            # Two programs that send on one line would garble each other.
            self._line = serial.Serial(device, baud, timeout=0.05, write_timeout=5, exclusive=True)
        except (OSError, ValueError) as error:
            raise PortError(f"{printable(device)} cannot be opened: {_why(error)}") from error

    def read_line(self, within_s: float) -> bytes | None:
        """See `Port`."""
        until = time.monotonic() + within_s
        while True:
            line, found, rest = self._rest.partition(b"\n")
            if found:
                self._rest = rest
                return line.rstrip(b"\r")
            if len(self._rest) > MOST_LINE_BYTES:
                line, self._rest = self._rest, b""
                return line
            if time.monotonic() > until:
                return None
            try:
                self._rest += self._line.read(max(1, min(self._line.in_waiting, MOST_LINE_BYTES)))
            except _GONE as error:
                raise self._gone(error) from error

    def write(self, data: bytes) -> None:
        """See `Port`."""
        try:
            self._line.write(data)
            self._line.flush()
        except _GONE as error:
            raise self._gone(error) from error

    def close(self) -> None:
        """Let go of the device."""
        self._line.close()

    def _gone(self, error: Exception) -> PortError:
        return PortError(f"{printable(self.device)} is gone: {_why(error)}")


def _why(error: Exception) -> str:
    number = getattr(error, "errno", None) or error.args[0]
    said = os.strerror(number) if isinstance(number, int) else str(error)
    return printable(said)[:200]

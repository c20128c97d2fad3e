"""Interrupt and termination held back until they can be answered without harm."""

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType

_ENDING = [getattr(signal, n) for n in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, n)]


class StoppedError(Exception):
    """Somebody asked the command to end."""


@contextmanager
def undisturbed() -> Iterator[Callable[[], None]]:
    """Hold back what asks the process to end; it is answered on leaving, as it would have been.

    Yields a function that raises `StoppedError` where something was held back. On a thread other
    than the main one nothing arrives that could be held.
    """
    arrived: list[int] = []

    def hold(number: int, frame: FrameType | None) -> None:
        del frame
        arrived.append(number)

    def pause() -> None:
        if arrived:
            raise StoppedError

    before = {}
    if threading.current_thread() is threading.main_thread():
        for number in _ENDING:
            # What is ignored, as under `nohup`, stays so; what C code handles cannot be restored.
            if signal.getsignal(number) not in (signal.SIG_IGN, None):
                before[number] = signal.signal(number, hold)
    try:
        yield pause
    finally:
        # the interrupt last: from then on one may raise at any place
        for number in reversed(before):
            signal.signal(number, before[number])
        for number in arrived[:1]:
            signal.raise_signal(number)

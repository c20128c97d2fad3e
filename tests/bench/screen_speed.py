"""How soon the screen paints and how it takes a long list.

First paint and first answer of the whole command on the demo, in a terminal of its own, against
`python -c "import textual.app"`; then key to paint in a list of 5,000 findings against one of
50. Ratios of one run, the best of several rounds each.
"""

import os
import pty
import select
import subprocess
import sys
import time
from collections.abc import Iterator
from statistics import median

from measure import Row, at_most

ROUNDS = 4
KEYS = {"down": b"\x1b[B", "page down": b"\x1b[6~", "end": b"\x1b[F"}


class Terminal:
    """A command in a pseudo terminal of 80 by 24."""

    def __init__(self, *arguments: str) -> None:
        self.start = time.perf_counter()
        self.pid, self.file = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm-256color", COLUMNS="80", LINES="24")
            os.execv(sys.executable, [sys.executable, *arguments])

    def until(self, mark: bytes) -> float:
        """Return the seconds since the start when a mark was written."""
        seen = b""
        while mark not in seen:
            if not select.select([self.file], [], [], 60)[0]:
                raise TimeoutError(mark)
            seen += os.read(self.file, 65536)
        return time.perf_counter() - self.start

    def key_to_paint(self, key: bytes) -> float:
        """Return the seconds from a key to the first byte painted in answer."""
        while select.select([self.file], [], [], 0.1)[0]:
            os.read(self.file, 65536)
        start = time.perf_counter()
        os.write(self.file, key)
        select.select([self.file], [], [], 60)
        return time.perf_counter() - start

    def close(self) -> None:
        """Leave the screen and read what is left."""
        os.write(self.file, b"q")
        try:
            while os.read(self.file, 65536):
                pass
        except OSError:
            pass
        os.waitpid(self.pid, 0)


def painted() -> tuple[float, float]:
    """Return the seconds to the first paint and to the demo's answer."""
    terminal = Terminal("-m", "pincheck", "screen", "--demo", "--no-animation")
    times = terminal.until(b"first look"), terminal.until(b"power on")
    terminal.close()
    return times


def imported() -> float:
    """Return the seconds that a process takes to load the widget library alone."""
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", "import textual.app"], check=True)
    return time.perf_counter() - start


def with_findings(count: int) -> dict[str, float]:
    """Return the median seconds from each key to paint in a list of findings."""
    terminal = Terminal(__file__, "--serve", str(count))
    terminal.until(f"{count} findings".encode())
    times = {
        name: median(terminal.key_to_paint(key) for _ in range(30)) for name, key in KEYS.items()
    }
    terminal.close()
    return times


def serve(count: int) -> None:
    """Open the screen on the demo with this many findings."""
    from attrs import evolve

    from pincheck import api
    from pincheck.model.finding import Finding, Moment, Severity
    from pincheck.screen.app import PincheckApp
    from pincheck.screen.engine import Checked, DiskEngine, OnStage

    class Many(DiskEngine):
        def check(self, stage: OnStage) -> Checked:
            checked = super().check(stage)
            found = tuple(
                Finding(
                    rule=f"rule-{number}",
                    severity=Severity.FAULT,
                    when=Moment.HEATING,
                    spots=(("hotend.fan", "pin"),),
                    message=f"finding {number}: the hot-end fan is claimed on PB8 and wired to PB6",
                )
                for number in range(count)
            )
            return evolve(checked, result=evolve(checked.result, findings=found))

    PincheckApp(Many((api.demo("planted/section"),), api.demo("marsh-230-c.toml"))).run()


def measures() -> Iterator[Row]:
    """Yield the ratios."""
    painted()
    rounds = [(imported(), *painted()) for _ in range(ROUNDS)]
    base, first, answer = map(min, zip(*rounds, strict=True))
    yield Row("import textual.app", f"{base * 1e3:.0f} ms")
    yield at_most("first paint / import textual.app", first / base, 3)
    yield Row("the demo's answer / import textual.app", f"{answer / base:.2f}")
    few, many = with_findings(50), with_findings(5_000)
    for name in KEYS:
        yield Row(f"{name}: 5,000 findings / 50", f"{many[name] / few[name]:.2f}")
        yield Row(f"{name}: 5,000 findings", f"{many[name] * 1e3:.1f} ms")


if __name__ == "__main__":
    serve(int(sys.argv[2]))

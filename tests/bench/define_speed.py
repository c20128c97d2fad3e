"""How fast the define style is read and evaluated: `python tests/bench/define_speed.py`.

Ratios of one run: against one `gcc -E -dM` process and against the pure-Python preprocessor
`pcpp` on the same text (condition calls given to both as macros), and growth with the number of
lines. Runs take turns, the best of each counts.
"""

import io
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

from define_headers import CALLS, machine

from pincheck.model.source import Source
from pincheck.readers.define import read

SEED = 1
ROUNDS = 30


def seconds(run: Callable[[], object]) -> float:
    """Return how long one run takes."""
    begin = perf_counter()
    run()
    return perf_counter() - begin


def reader(seed: int, scale: float = 1.0) -> Callable[[], object]:
    """Return a run of the reader over one machine, its sources made anew each time."""
    main, advanced = machine(seed, scale)

    def run() -> object:
        found = read([Source.of_text("machine.h", main), Source.of_text("machine_adv.h", advanced)])
        assert not found.problems, found.problems
        return found

    return run


def preprocessor(path: Path) -> Callable[[], object]:
    """Return a run of the C preprocessor."""
    command = ["gcc", "-E", "-dM", str(path)]
    return lambda: subprocess.run(command, capture_output=True, check=True)


def pure_python(text: str) -> Callable[[], object]:
    """Return a run of the pure-Python preprocessor."""
    from pcpp import Preprocessor

    def run() -> None:
        machine = Preprocessor()
        machine.parse(text, "machine.h")
        machine.write(io.StringIO())

    return run


def report(name: str, goal: str, ratio: float) -> None:
    """Print one ratio with its goal."""
    print(f"{name:<48} {ratio:7.2f}   goal {goal}")


def main() -> int:
    """Measure and print."""
    text = CALLS + "".join(machine(SEED))
    mine = reader(SEED)
    print(f"define: {text.count(chr(10))} lines, {len(text)} characters")
    first = seconds(mine)
    fresh = min(seconds(reader(seed)) for seed in range(2, 8))
    if shutil.which("gcc"):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "machine.h"
            path.write_text(text)
            theirs = preprocessor(path)
            pairs = [(seconds(mine), seconds(theirs)) for _ in range(ROUNDS)]
        gcc = min(pair[1] for pair in pairs)
        warm = min(pair[0] for pair in pairs)
        print(f"  best of ours {warm * 1e3:.1f} ms, of gcc -E -dM {gcc * 1e3:.1f} ms")
        report("ours / gcc -E -dM, same text again", "at most 1.0", warm / gcc)
        report("ours / gcc -E -dM, text not met before", "-", fresh / gcc)
        report("ours / gcc -E -dM, first read of the process", "-", first / gcc)
    warm = min(seconds(mine) for _ in range(ROUNDS))
    try:
        slow = min(seconds(pure_python(text)) for _ in range(3))
        report("pcpp / ours", "at least 5", slow / warm)
    except ImportError:
        print("pcpp is not installed: nothing to compare with")
    for scale in (2, 4, 8):
        larger = reader(SEED, scale)
        grown = min(seconds(larger) for _ in range(max(10, ROUNDS // scale)))
        report(f"{scale} times the lines, time per line", "about 1", grown / warm / scale)
    return 0


if __name__ == "__main__":
    sys.exit(main())

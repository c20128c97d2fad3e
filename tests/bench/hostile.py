"""Time and peak memory of whole commands on hostile input, each in a process of its own.

    python tests/bench/hostile.py [WORD ...]

Only the cases whose names hold one of the words are run. The seconds are the processor's for the
whole command, start-up included; `x demo` is how often the same command on the demo, run right
before and after the case, fits into them. A case that misses the goal is run once more. Bytecode
is kept, as in an installation.
"""

import json
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from attrs import asdict, frozen

SECONDS, TIMES, MEGABYTES = 1.0, 1.5, 300.0
DEMO = ["check", "--demo"]


@frozen
class Measured:
    """What one command took of the processor and of memory, and the first thing it said."""

    seconds: float
    megabytes: float
    code: int
    said: str


def measure(words: list[str]) -> Measured:
    """Run one command in a child and wait for it."""
    with tempfile.TemporaryFile() as said:
        child = subprocess.Popen(
            [sys.executable, "-m", "pincheck", *words],
            stdout=said,
            stderr=said,
            stdin=subprocess.DEVNULL,
        )
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        said.seek(0)
        lines = said.read(2_000_000).decode(errors="replace").split("\n")
    whole = [line.strip() for line in lines if line.strip()]
    told = next((line for line in whole if re.match(r"\S+: |\S+:\d+:", line)), "".join(whole[:1]))
    return Measured(used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, child.returncode, told)


def measure_apart(words: list[str]) -> Measured:
    """Run one command from a bare process, for callers that hold much memory themselves.

    What a child peaks at begins with what its parent holds while it starts it (Linux).
    """
    run = [sys.executable, __file__, "--measure", *words]
    return Measured(**json.loads(subprocess.run(run, check=True, capture_output=True).stdout))


def compared(words: list[str], before: float) -> tuple[Measured, float]:
    """Run one command, and how often the demo fits into its time; `before` is one run of it."""
    found = measure(words)
    return found, 2 * found.seconds / (before + measure(DEMO).seconds)


def built(name: str, folder: str) -> list[str]:
    """Build a case in another process, so that this one stays small."""
    run = [sys.executable, __file__, "--build", name, folder]
    return list(json.loads(subprocess.run(run, check=True, capture_output=True).stdout))


def main() -> None:
    """Print the table, and what misses the goals."""
    if sys.argv[1:2] == ["--names"]:
        from hostile_cases import CASES

        print(json.dumps(list(CASES)))
        return
    if sys.argv[1:2] == ["--build"]:
        from hostile_cases import CASES

        print(json.dumps(CASES[sys.argv[2]](Path(sys.argv[3]))))
        return
    if sys.argv[1:2] == ["--measure"]:
        print(json.dumps(asdict(measure(sys.argv[2:]))))
        return
    listing = [sys.executable, __file__, "--names"]
    names = json.loads(subprocess.run(listing, check=True, capture_output=True).stdout)
    wanted = sys.argv[1:]
    chosen = [name for name in names if not wanted or any(word in name for word in wanted)]
    kept = tempfile.TemporaryDirectory()
    os.environ["PYTHONPYCACHEPREFIX"] = kept.name
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    measure(DEMO)
    print(f"{'case':<36} {'s':>6} {'x demo':>7} {'MB':>5} {'exit':>4}  said")
    missed = slow = 0
    for name in chosen:
        with tempfile.TemporaryDirectory() as folder:
            words = built(name, folder)
            demo = measure(DEMO).seconds
            found, times = compared(words, demo)
            if times > TIMES:
                found, times = min(((found, times), compared(words, demo)), key=lambda it: it[1])
        bad = times > TIMES or found.megabytes > MEGABYTES
        missed += bad
        slow += found.seconds > SECONDS
        print(
            f"{name:<36} {found.seconds:6.2f} {times:7.2f} "
            f"{found.megabytes:5.0f} {found.code:4} {'*' if bad else ' '}{found.said[:90]}",
            flush=True,
        )
    count = len(chosen)
    print(f"{count - slow} of {count} within {SECONDS:g} s of the processor on this machine")
    print(f"{count - missed} of {count} within {TIMES:g} x demo and {MEGABYTES:g} MB")
    kept.cleanup()


if __name__ == "__main__":
    main()

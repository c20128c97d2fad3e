"""How fast a batch is, what a second core and a second run bring, and how memory grows.

    python tests/bench/batch_speed.py

Batches are made from a seed in a temporary folder, with files of the sizes that people send.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import batches
from attrs import frozen

POLL_S = 0.25


@frozen
class Measured:
    """One run of the command: wall-clock and processor time, peak memory of its processes."""

    seconds: float
    cpu_s: float
    parent_share: float
    parent_mb: float
    worker_mb: float


def main() -> None:
    """Make two batches, run them, print the figures."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("--small", type=int, default=500)
    parser.add_argument("--large", type=int, default=2_000)
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        small, large = Path(folder) / "small", Path(folder) / "large"
        # Every kind of hostile file in both: the largest of them decides the peak of memory.
        few, many = (
            max(2 * len(batches.HOSTILE), round(count * batches.HOSTILE_SHARE))
            for count in (args.small, args.large)
        )
        list(batches.make(small, args.small, args.seed, padding=True, hostile=few))
        made = list(batches.make(large, args.large, args.seed, padding=True, hostile=many))
        one = _run(small, processes=1)
        two = _run(small, processes=2)
        first = _run(large, processes=2)
        again = _run(large, processes=2, fresh=False)
        print(f"{args.small} submissions, 1 process: {_rate(args.small, one)}")
        print(f"{args.small} submissions, 2 processes: {_rate(args.small, two)}")
        print(f"  speed-up {one.seconds / two.seconds:.2f} (goal 1.8)")
        print(f"  the parent, which is not shared out, takes {two.parent_share:.1%} of the time")
        print(f"{args.large} submissions, 2 processes: {_rate(args.large, first)}")
        print(f"  that is {args.large / first.cpu_s:.1f}/s a core, by processor time")
        wrong = _wrong(made, large)
        print(f"  {args.large - len(wrong)} of {args.large} came to exactly what was planted:")
        print(f"  {sum(bool(m.findings) for m in made)} to their finding, by rule, file and line")
        print(f'  {many} hostile ones to "could not check", all others to no finding')
        print("".join(f"  WRONG: {it}\n" for it in wrong), end="")
        print(f"{args.large} submissions again, nothing changed: {_rate(args.large, again)}")
        print(f"  {first.seconds / again.seconds:.0f} times as fast (goal 20)")
        for name, before, after in (
            ("parent", two.parent_mb, first.parent_mb),
            ("worker", two.worker_mb, first.worker_mb),
        ):
            print(
                f"peak memory of the {name}: {before:.0f} MB at {args.small}, {after:.0f} MB at "
                f"{args.large}: {100 * (after / before - 1):+.1f} % (goal within 10 %)"
            )


def _rate(count: int, run: Measured) -> str:
    return f"{run.seconds:.1f} s, {count / run.seconds:.1f}/s, {run.cpu_s:.1f} s of processor"


def _run(folder: Path, processes: int, fresh: bool = True) -> Measured:
    store = folder.with_suffix(".sqlite")
    if fresh:
        store.unlink(missing_ok=True)
    where = ("--store", str(store), "--processes", str(processes))
    written = ("--json-lines", str(_written(folder)))
    command = [sys.executable, "-m", "pincheck", "desk", str(folder), "--demo", *where, *written]
    peaks: dict[int, float] = {}
    used: dict[int, float] = {}
    start = time.perf_counter()
    run = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    while run.poll() is None:
        for pid in _tree(run.pid):
            peaks[pid] = max(peaks.get(pid, 0.0), _peak_mb(pid))
            used[pid] = max(used.get(pid, 0.0), _cpu_s(pid))
        time.sleep(POLL_S)
    seconds = time.perf_counter() - start
    if run.returncode != 1:
        raise SystemExit(f"the command ended with {run.returncode}, expected findings")
    parent = peaks.pop(run.pid, 0.0)
    share = used[run.pid] / sum(used.values())
    return Measured(seconds, sum(used.values()), share, parent, max(peaks.values(), default=0.0))


def _written(folder: Path) -> Path:
    return folder.with_suffix(".jsonl")


def _wrong(made: list[batches.Made], folder: Path) -> list[str]:
    """Return what came to other findings than those planted, by rule, file and line."""
    with _written(folder).open(encoding="utf-8") as lines:
        records = {record["id"]: record for record in map(json.loads, lines)}
    if set(records) != {one.name for one in made}:
        return ["not every submission is accounted for"]
    return [wrong for one in made if (wrong := one.wrong(records[one.name]))]


def _tree(pid: int) -> Iterator[int]:
    """Yield a process and all below it (Linux)."""
    yield pid
    try:
        for task in Path(f"/proc/{pid}/task").iterdir():
            children = (task / "children").read_text(encoding="ascii")
            for child in children.split():
                yield from _tree(int(child))
    except OSError:
        return


def _cpu_s(pid: int) -> float:
    try:
        text = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8")
    except OSError:
        return 0.0
    fields = text.rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _peak_mb(pid: int) -> float:
    try:
        lines = Path(f"/proc/{pid}/status").read_text(encoding="utf-8").splitlines()
    except OSError:
        return 0.0
    return next((int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM")), 0.0)


if __name__ == "__main__":
    main()

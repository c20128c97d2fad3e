"""How fast the define style is read and evaluated.

Against one `gcc -E -dM` process and against the pure-Python preprocessor `pcpp` on the same text
(condition calls given to both as macros).
"""

import io
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

from define_headers import CALLS, machine
from measure import Row, Run, at_least, at_most, best, growth, seconds

from pincheck.model.source import Source
from pincheck.readers.define import read

SEED = 1
ROUNDS = 30


def reader(seed: int, scale: float = 1.0) -> Run:
    """Return a run of the reader over one machine, its sources made anew each time."""
    main, advanced = machine(seed, scale)

    def run() -> object:
        found = read([Source.of_text("machine.h", main), Source.of_text("machine_adv.h", advanced)])
        assert not found.problems, found.problems
        return found

    return run


def preprocessor(path: Path) -> Run:
    """Return a run of the C preprocessor."""
    command = ["gcc", "-E", "-dM", str(path)]
    return lambda: subprocess.run(command, capture_output=True, check=True)


def pure_python(text: str) -> Run:
    """Return a run of the pure-Python preprocessor."""
    from pcpp import Preprocessor

    def run() -> None:
        machine = Preprocessor()
        machine.parse(text, "machine.h")
        machine.write(io.StringIO())

    return run


def measures() -> Iterator[Row]:
    """Yield the ratios to both preprocessors, and the growth."""
    text = CALLS + "".join(machine(SEED))
    mine = reader(SEED)
    count = text.count("\n")
    first = seconds(mine)
    fresh = min(seconds(reader(seed)) for seed in range(2, 8))
    (warm,) = best(ROUNDS, mine)
    yield Row(f"{count} lines, read and evaluated", f"{warm * 1e3:.1f} ms")
    if shutil.which("gcc"):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "machine.h"
            path.write_text(text, encoding="utf-8")
            warm, gcc = best(ROUNDS, mine, preprocessor(path))
        yield at_most("ours / gcc -E -dM process", warm / gcc, 1.0)
        yield Row("the same, text not met before", f"{fresh / gcc:.2f}")
        yield Row("the same, first read of the process", f"{first / gcc:.2f}")
    if find_spec("pcpp"):
        warm, slow = best(3, mine, pure_python(text))
        yield at_least("pcpp / ours", slow / warm, 5)
    # Twice a real machine is near the bound on directives, so growth begins at a quarter.
    yield growth((scale * count, reader(SEED, scale)) for scale in (0.25, 0.5, 1, 2))

"""Speed, as ratios measured within one run: `python tests/bench/run.py [NAME ...]`.

Without names everything runs but the batch, which takes minutes.
"""

import argparse
import os
import subprocess
import sys
import tempfile
from importlib import import_module
from pathlib import Path

MODULES = {
    "define": "define_speed",
    "section": "section_speed",
    "gcode": "gcode_speed",
    "chips": "chips_speed",
    "cold": "cold_speed",
    "screen": "screen_speed",
}
BATCH = "batch"


def main() -> None:
    """Run the named benchmarks and print a table of each."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join([*MODULES, BATCH]))
    names = parser.parse_args().names or list(MODULES)
    if unknown := set(names) - {*MODULES, BATCH}:
        parser.error(f"no benchmark is called {min(unknown)!r}")
    with tempfile.TemporaryDirectory() as folder:
        # A checkout may hold no bytecode; an installation does, and starts are measured like its.
        os.environ["PYTHONPYCACHEPREFIX"] = folder
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        for name in names:
            print(name, flush=True)
            if name == BATCH:
                script = Path(__file__).with_name("batch_speed.py")
                subprocess.run([sys.executable, str(script)], check=True)
                continue
            for row in import_module(MODULES[name]).measures():
                print(row, flush=True)


if __name__ == "__main__":
    main()

"""Importing this readies a process for any submission; forked workers start from there.

Nothing but the server that workers are forked from imports it.
"""

import signal
from contextlib import suppress

from pincheck.model.problem import UnreadableError

# Ctrl-C is for the process that asked; this one ends with it.
signal.signal(signal.SIGINT, signal.SIG_IGN)


def _ready() -> None:
    """Check the demo once in every style: it loads all that is loaded when first needed."""
    from pincheck import resources
    from pincheck.check import check
    from pincheck.intake import gather, machines, read
    from pincheck.model.setting import STYLES
    from pincheck.wiring import load

    demo = resources.folder("configs")
    assembly = load(demo / "marsh-230-c.toml")
    for style in STYLES:
        for machine in machines(gather([demo / "clean" / style]))[0]:
            check(read(machine), assembly)


# Without the demo's files a worker only warms up later.
with suppress(OSError, UnreadableError):
    _ready()

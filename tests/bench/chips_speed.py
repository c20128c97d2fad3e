"""How long chip data takes to load, against parsing the compiled file."""

import json
from collections.abc import Iterator

from measure import Row, Run, best

from pincheck.chips import device_data, electrical, load
from pincheck.chips.compile import TARGET

_CACHES = (
    load.chip,
    load._compiled_file,
    load._hand_entries,
    load._numberings,
    electrical._entries,
)


def measures() -> Iterator[Row]:
    """Yield the ratios."""
    runs = {"first chip, all caches cold": lambda: load.chip("stm32f446zet6")}
    if device_data.installed():
        runs["same chip from the package"] = lambda: load._from_package("stm32f446zet6")
    parse, *times = best(5, lambda: json.loads(TARGET.read_text()), *map(_cold, runs.values()))
    yield Row("parse the compiled file", f"{parse * 1e3:.2f} ms")
    for name, time in zip(runs, times, strict=True):
        yield Row(f"{name} / parse", f"{time / parse:.1f}")


def _cold(run: Run) -> Run:
    def once() -> None:
        for cache in _CACHES:
            cache.cache_clear()
        run()

    return once

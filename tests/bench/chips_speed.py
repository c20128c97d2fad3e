"""How long chip data takes to load, against parsing its source."""

import json
from collections.abc import Iterator
from pathlib import Path

from measure import Row, Run, best

from pincheck.chips import device_data, electrical

_SOURCE = Path(device_data.__file__).parent / "data" / "compiled.json"
_CACHES = (
    device_data.chip,
    device_data._compiled_file,
    device_data._hand_entries,
    device_data._numberings,
    electrical._entries,
)


def measures() -> Iterator[Row]:
    """Yield the ratio."""
    cold = _cold(lambda: device_data.chip("stm32f446zet6"))
    parse, first = best(5, lambda: json.loads(_SOURCE.read_text()), cold)
    yield Row("parse the source", f"{parse * 1e3:.2f} ms")
    yield Row("first chip, all caches cold / parse", f"{first / parse:.1f}")


def _cold(run: Run) -> Run:
    def once() -> None:
        for cache in _CACHES:
            cache.cache_clear()
        run()

    return once

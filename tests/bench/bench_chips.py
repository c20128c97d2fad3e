"""How long chip data takes to load, as ratios in one run: `python tests/bench/bench_chips.py`."""

import json
from collections.abc import Callable
from time import perf_counter

from pincheck.chips import device_data, electrical, load
from pincheck.chips.compile import TARGET

_CACHES = (
    load.chip,
    load._compiled_file,
    load._hand_entries,
    load._numberings,
    electrical._entries,
)


def _best_s(run: Callable[[], object], times: int) -> float:
    def once() -> float:
        for cache in _CACHES:
            cache.cache_clear()
        start = perf_counter()
        run()
        return perf_counter() - start

    return min(once() for _ in range(times))


def main() -> None:
    """Print the ratios."""
    parse = _best_s(lambda: json.loads(TARGET.read_text()), 20)
    first = _best_s(lambda: load.chip("stm32f446zet6"), 20)
    print(f"parse the compiled file        1.0 ({parse * 1e3:.2f} ms here)")
    print(f"first chip, all caches cold  {first / parse:5.1f}")
    if device_data.installed():
        package = _best_s(lambda: load._from_package("stm32f446zet6"), 3)
        print(f"same chip from the package   {package / parse:5.1f}")


if __name__ == "__main__":
    main()

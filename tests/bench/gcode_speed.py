"""Reading speed of the gcode style."""

from collections.abc import Iterator

from measure import Row, Run, best, growth

from pincheck.model.source import Source
from pincheck.readers import gcode

CALLED = 17
BLOCK = """\
; ---- heater and fan {i} ----
M308 S{i} P"temp{i}" Y"thermistor" T100000 B4725 C7.06e-8 ; sensor {i}
M950 H{i} C"out{i}" T{i}
M143 H{i} S285
M307 H{i} R2.43 K0.35:0.20 D5.5 E1.35 S1.00 B0 V24.0
M950 F{i} C"!fan{i}+^pb.{i}" Q250 M106 P{i} C"Part {i}" S0 H-1
;M106 P{i} S255 H{i} T45 ; thermostatic
m563 p{i} d{i} h{i} f{i}
M569 P{i} S1 D2 ; driver {i}
M584 X0 Y1 Z2:3 E{i}
M906 X800 Y800 Z800 E{{global.current}} I30
if exists(move.axes[3])
    M574 U1 S1 P"!io{i}.in"
elif global.current > 500
    M913 X{{global.current / 10}}

"""


def machine(lines: int) -> list[Source]:
    """Return a start-up script that calls 17 others, `lines` lines in all."""
    blocks = max(1, lines // (CALLED + 1) // BLOCK.count("\n"))
    text = "".join(BLOCK.format(i=i % 8) for i in range(blocks))
    calls = "".join(f'M98 P"part{i}.g"\n' for i in range(CALLED))
    start = Source.of_text("config.g", "global current = 650\n" + calls + text)
    return [start, *(Source.of_text(f"part{i}.g", text) for i in range(CALLED))]


def measures() -> Iterator[Row]:
    """Yield the lines a second of a machine of 18 files, and the growth."""
    count, work = _reading(1_500)
    (time,) = best(20, work)
    yield Row(f"18 files, {count} lines", f"{time * 1e3:.1f} ms")
    yield Row("lines a second", f"{count / time:,.0f}")
    yield growth(map(_reading, (360, 720, 1_440, 2_880)))


def _reading(lines: int) -> tuple[int, Run]:
    files = machine(lines)
    assert not gcode.read(files).problems
    return sum(source.text.count("\n") for source in files), lambda: gcode.read(files)

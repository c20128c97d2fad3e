"""Headers of real size: a small one padded from a seed with what stands in real ones.

Counts follow the field: about half of all lines are remarks, 1 in 5 a define that is commented
out, conditions go 4 deep, and the keys that matter stand again in branches that are not taken.
"""

import random
import re
from collections.abc import Iterator

LINES = 3000

_WORDS = ("LAMP", "PARK", "GRID", "MENU", "SPOOL", "MIXER", "SOUND", "CARD", "JOYSTICK", "CHIME")
_DECOYS = (
    "#define TEMP_SENSOR_BED 4",
    "#define TEMP_SENSOR_0 4",
    "#define HEATER_0_MAXTEMP 999",
    "#define BED_MAXTEMP 999",
    "#define E0_AUTO_FAN_PIN -1",
    "#undef THERMAL_PROTECTION_HOTENDS",
    "#define Z_MIN_PROBE_ENDSTOP_INVERTING true",
    "#define HEATER_0_PIN 3",
)
_VALUES = (
    "1", "255", "0x1F", "4.5f", "12U", "true", "'A'", '"two words"', "{ 80, 80, 400, 93 }",
    "{ { 0, 1 }, { 2, 3 } }", "(X_BED_SIZE / 2)", "(60 * 60) // mm/s", "PARK_MARGIN", "",
)  # fmt: skip


def padded(text: str, seed: int, lines: int = LINES) -> str:
    """Return a header with inert lines between its own, `lines` long or a little more."""
    draw = random.Random(seed)
    own = text.splitlines(keepends=True)
    gaps = list(_gaps(own))
    chunks: dict[int, list[str]] = {gap: [] for gap in gaps}
    missing = lines - len(own)
    while missing > 0:
        chunk = list(_chunk(draw))
        chunks[draw.choice(gaps)] += chunk
        missing -= len(chunk)
    return "".join(
        "".join(f"{line}\n" for line in chunks.get(at, ())) + (own[at] if at < len(own) else "")
        for at in range(len(own) + 1)
    )


def _gaps(own: list[str]) -> Iterator[int]:
    """Yield each line before which something may stand: outside remarks and conditions."""
    depth, remark = 0, False
    for at, line in enumerate(own):
        bare = re.sub(r"//.*", "", line).strip()
        if depth == 0 and not remark and not own[at - 1].rstrip().endswith("\\"):
            yield at
        remark = "/*" in bare and "*/" not in bare if not remark else "*/" not in bare
        depth += bool(re.match(r"#\s*if", bare)) - bool(re.match(r"#\s*endif", bare))


def _name(draw: random.Random) -> str:
    return f"{draw.choice(_WORDS)}_{draw.choice(_WORDS)}_{draw.randrange(90)}"


def _chunk(draw: random.Random) -> Iterator[str]:
    yield from draw.choice((_remark, _defines, _options, _nested, _tricks))(draw)


def _remark(draw: random.Random) -> Iterator[str]:
    yield "/**"
    yield from (f" * {_name(draw).lower()}: see {_name(draw)}" for _ in range(draw.randint(2, 14)))
    yield " */"
    yield f"// @section {draw.choice(_WORDS).lower()}"
    yield ""


def _defines(draw: random.Random) -> Iterator[str]:
    for _ in range(draw.randint(2, 8)):
        yield f"#define {_name(draw)} {draw.choice(_VALUES)}   // \u00b0C or \u00b5s"


def _options(draw: random.Random) -> Iterator[str]:
    for _ in range(draw.randint(2, 10)):
        off = draw.choice((*_DECOYS, f"#define {_name(draw)} {draw.choice(_VALUES)}"))
        yield f"{draw.choice(('//', '  //', '// '))}{off}"


def _nested(draw: random.Random) -> Iterator[str]:
    switch = f"{_name(draw)}_UNUSED"
    yield f"//#define {switch}"
    yield draw.choice(
        (f"#if ENABLED({switch})", f"#ifdef {switch}", f"#if ANY({switch}, {switch})",
         f"#if ALL({switch}, PIDTEMP)", f"#if !DISABLED({switch})", f"#if defined({switch}) && 1")
    )  # fmt: skip
    yield f"  {draw.choice(_DECOYS)}"
    yield f"  #if {draw.choice(('EXTRUDERS > 2', 'HAS_SOMETHING', 'PIN_EXISTS(LAMP)'))}"
    yield f"    {draw.choice(_DECOYS)}"
    yield f"    #ifndef {_name(draw)}"
    yield f"      {draw.choice(_DECOYS)}"
    yield "    #endif"
    yield f"  #elif {draw.choice(('1', 'BOTH(PIDTEMP, PIDTEMPBED)'))}"
    yield f"    {draw.choice(_DECOYS)}"
    yield "  #endif // something"
    yield "#endif"


def _tricks(draw: random.Random) -> Iterator[str]:
    name = _name(draw)
    yield f"#define {name}(N) ((N) * 2 + 1) \\"
    yield f"  + {draw.randrange(9)}"
    yield f"#define {_name(draw)} {{ \\"
    yield "  { 1, 2 }, \\"
    yield "  { 3, 4 } }"
    yield f'#define {_name(draw)}_SCRIPT "G28\\nG1 Z5 ; #define TEMP_SENSOR_0 4"'
    yield "#if 0"
    yield f"  {draw.choice(_DECOYS)}"
    yield "#endif"
    yield f"# define {_name(draw)} 1"
    yield f"#undef {_name(draw)}"

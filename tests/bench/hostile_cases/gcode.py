"""Scripts of the gcode style."""

from hostile_cases.build import Build, checked, claimed, full, long, many
from pincheck.model import limits

_TOOL = (
    'M308 S@ P"temp@" Y"thermistor" T100000 B4725\nM950 H@ C"out@" T@\n'
    "M143 H@ S280\nM307 H@ B0 S1.00\nM563 P@ D0 H@ F0\n"
)
_FIRST = 'M950 H0 C"out1" T0\n'

CASES: dict[str, Build] = {
    "gcode: full of one command": checked(config__g=full("M106 P0 S0\n")),
    "gcode: most of one command": checked(
        config__g=full("M106 P0 S0\n", times=limits.SETTINGS // 2)
    ),
    "gcode: most commands": checked(config__g=full("M106 P@ S0\n", times=limits.SECTIONS - 10)),
    "gcode: most expressions": checked(config__g=full("M106 P{@+1}\n", times=limits.SECTIONS - 10)),
    "gcode: most if": checked(
        config__g=full("if a@.b\n  M106 P0 S@\n", times=limits.SECTIONS - 10)
    ),
    "gcode: full of commands": checked(config__g=full("M106 P@ S0\n")),
    "gcode: full of pins": checked(config__g=full('M950 F@ C"out@" Q250\n')),
    "gcode: claims of pins": claimed(config__g=full('M950 F@ C"out@" Q250\n')),
    "gcode: full of tools": checked(config__g=full(_TOOL)),
    "gcode: full of commented commands": checked(config__g=full(";M106 P0 S0\n", _FIRST)),
    "gcode: full of expressions": checked(config__g=full("M106 P{@+1}\n")),
    "gcode: full of broken expressions": checked(config__g=full("M106 P{@+}\n")),
    "gcode: full of open brackets": checked(config__g=full("M106 P{((((((((\n")),
    "gcode: full of deep expressions": checked(
        config__g=full(f"M106 P{{{'(' * 120}1{')' * 120}+@}}\n")
    ),
    "gcode: full of long expressions": checked(config__g=full(f"M106 P{{{'1+' * 140}@}}\n")),
    "gcode: full of echo": checked(config__g=full("echo 1\n", _FIRST)),
    "gcode: full of prose": checked(config__g=full("this is @ no line\n", _FIRST)),
    "gcode: full of if": checked(config__g=full("if a@.b\n  M106 P0 S@\n")),
    "gcode: full of loops": checked(config__g=full("while a.b\n  set global.x = 1\n", _FIRST)),
    "gcode: loops around all": checked(
        config__g=full(
            "   echo 1\n   while a.b\n    echo 1\n",
            _FIRST + "".join(f"{' ' * n}while a{n}.b\n" for n in range(3)),
        )
    ),
    "gcode: 500 nested blocks": checked(
        config__g=_FIRST + "".join(f"{' ' * n}while a.b\n" for n in range(500))
    ),
    "gcode: full of variables": checked(config__g=full("var v@ = 1\n", _FIRST)),
    "gcode: texts that double": checked(
        config__g='global x = "ab"\n'
        + "set global.x = global.x ^ global.x\n" * 500
        + "M106 P{global.x}\n"
    ),
    "gcode: scripts that multiply": many(
        12,
        "f@.g",
        lambda n: f'M98 P"f{n + 1}.g"\nM106 P0\n' * 10,
        config__g='M98 P"f0.g"\n' * 10,
    ),
    "gcode: a full script called again": checked(
        config__g=_FIRST + 'M98 P"a.g"\n' * 400, a__g=full("M106 P0 S0\n")
    ),
    "gcode: scripts in a circle": checked(
        config__g=_FIRST + 'M98 P"a.g"\n', a__g='M98 P"config.g"\n'
    ),
    "gcode: full of scripts not sent": checked(config__g=full('M98 P"x@.g"\n')),
    "gcode: full of letters": checked(config__g=long("P1 ", "M106 ") * 200),
    "gcode: full of lists": checked(config__g=long("1:", "M906 X", "1") * 200),
    "gcode: full of lists of pins": checked(
        config__g="".join(long("out1+", f'M950 F{n} C"', 'out2"') for n in range(200))
    ),
    "gcode: full of quotes": checked(config__g=long('""', 'M106 P"', '"') * 200),
    "gcode: 240 scripts, 5 MB": many(
        239,
        "f@.g",
        lambda n: f"M106 P{n} S0 H-1\n" * 1_200,
        config__g=_FIRST + "".join(f'M98 P"f{n}.g"\n' for n in range(239)),
    ),
}

"""Headers of the define style."""

from hostile_cases.build import Build, checked, full, long, many
from pincheck.model import limits

_DOUBLING = "".join(f"#define M{n} (M{n + 1}+M{n + 1})\n" for n in range(9)) + "#define M9 1\n"
_TEXTS = "".join(f"#define M{n} M{n + 1} M{n + 1}\n" for n in range(60)) + "#define M60 x\n"
_ONE_TEXT = "".join(f"#define M{n} M{n + 1} M{n + 1}\n" for n in range(9))
_PARAMETERS = ",".join(f"p{n}" for n in range(400))
_SUM = "+".join(f"p{n}" for n in range(400))
_ONES = ",".join("1" * 400)
_LINES = limits.DEFINE_LINES - 100
_COMPUTED = limits.DEFINE_COMPUTED_CHARS // limits.EXPRESSION_LEAST - 10
"""Directives, conditions and computed values that are just about taken."""
_ALL = "#define MOTHERBOARD 1\n" + "".join(f'#include "f{n}.h"\n' for n in range(1, 240))

CASES: dict[str, Build] = {
    "define: full of #/*": checked(m__h=full("#/*\n", "#define MOTHERBOARD 1\n", times=_LINES)),
    "define: 1 MB of #/*": checked(m__h=full("#/*" * 16 + "\n", "#define MOTHERBOARD 1\n")),
    "define: full of #define": checked(
        m__h=full("#define\n", "#define MOTHERBOARD 1\n", times=_LINES)
    ),
    "define: full of defines": checked(m__h=full("#define K@ 1\n")),
    "define: full of one define": checked(m__h=full("#define TEMP_SENSOR_0 1\n")),
    "define: full of commented defines": checked(m__h=full("//#define TEMP_SENSOR_@ 1\n")),
    "define: full of conditions": checked(m__h=full("#if U@\n#define A@\n#endif\n")),
    "define: full of one doubt": checked(m__h=full("#if U@\n#define A @\n#endif\n")),
    "define: full of computed values": checked(m__h=full("#define TEMP_SENSOR_@ (1+@)*2\n")),
    "define: full of #error": checked(m__h=full("#error no @ way\n#define A@ 1\n")),
    "define: full of #if": checked(m__h=full("#if 1\n", times=_LINES)),
    "define: full of #endif": checked(m__h=full("#endif\n", "#define A 1\n", times=_LINES)),
    "define: full of #elif": checked(
        m__h=full("#elif Y@\n#define B@\n", "#if X\n#define A 1\n", "#endif\n")
    ),
    "define: full of odd directives": checked(
        m__h=full("#defien K@ 1\n", "#define A 1\n", times=_LINES)
    ),
    "define: most defines": checked(m__h=full("#define K@ 1\n", times=_LINES)),
    "define: most of one define": checked(m__h=full("#define FAN_PIN 1\n", times=_LINES)),
    "define: most commented defines": checked(
        m__h=full("//#define TEMP_SENSOR_@ 1\n", times=_LINES)
    ),
    "define: most computed values": checked(m__h=full("#define K@ (1+@)*2\n", times=_COMPUTED)),
    "define: most conditions": checked(m__h=full("#if U@\n#define A@\n#endif\n", times=_COMPUTED)),
    "define: most of one doubt": checked(
        m__h=full("#if U@\n#define A @\n#endif\n", times=_COMPUTED)
    ),
    "define: most doubts of a sensor": checked(
        m__h=full("#if ENABLED(U@)\n#define TEMP_SENSOR_0 @\n#endif\n", times=_LINES // 3)
    ),
    "define: most #elif of a sensor": checked(
        m__h=full("#elif U@\n#define TEMP_SENSOR_0 @\n", "#if X\n#define A\n", "#endif\n", 900)
    ),
    "define: most #error": checked(m__h=full("#error no @ way\n#define A@ 1\n", times=_LINES // 2)),
    "define: most #elif": checked(
        m__h=full("#elif Y@\n#define B@\n", "#if X\n#define A 1\n", "#endif\n", _COMPUTED - 1)
    ),
    "define: full of continuations": checked(m__h=full("\\\n", "#define A ")),
    "define: one value of 1 MB": checked(
        m__h="#define A 1\n#define B " + long("A+")[:-2] * 1 + (long("A+")[:-3] + "\\\n") * 200
    ),
    "define: one comment of 1 MB": checked(m__h="#define A 1\n/*" + long("x ") * 200 + "*/\n"),
    "define: macros that double": checked(m__h=_ONE_TEXT + f"#define M9 {'x' * 20}\n"),
    "define: many macros that double": checked(m__h=_TEXTS),
    "define: a bomb in every value": checked(m__h=full("#define TEMP_SENSOR_@ M0+@\n", _DOUBLING)),
    "define: a bomb in every condition": checked(
        m__h=full("#if M0 > @\n#define A@\n#endif\n", _DOUBLING, times=_LINES // 3)
    ),
    "define: calls in calls": checked(
        m__h="#define F(x) x\n" + f"#define A {'F(' * 1_600}1{')' * 1_600}\n" * 200
    ),
    "define: brackets in brackets": checked(
        m__h="#define A 1\n" + f"#if {'(' * 990}1{')' * 990}\n#endif\n" * 200
    ),
    "define: long conditions": checked(
        m__h="#define A 1\n" + "".join(f"#if A{'+1' * 990}+{n}\n#endif\n" for n in range(200))
    ),
    "define: many conditions of 100": checked(
        m__h="#define A 1\n" + "".join(f"#if A{'+1' * 50}+{n}\n#endif\n" for n in range(8_000))
    ),
    "define: a chain of macros": checked(
        m__h="".join(f"#define C{n} C{n + 1}\n" for n in range(19_000))
    ),
    "define: macro of 400 parameters": checked(
        m__h=f"#define F({_PARAMETERS}) {_SUM}\n" + f"#define A F({_ONES})\n" * 1_000
    ),
    "define: headers in a circle": checked(
        m__h='#define MOTHERBOARD 1\n#include "a.h"\n', a__h='#define B 1\n#include "m.h"\n'
    ),
    "define: headers that multiply": many(
        12,
        "f@.h",
        lambda n: f"#define MOTHERBOARD {n}\n" + f'#include "f{n + 1}.h"\n' * 10,
    ),
    "define: 240 headers, 5 MB": many(
        240, "f@.h", lambda n: _ALL * (n == 0) + f"#define K{n}_1 1\n" * 1_400
    ),
}

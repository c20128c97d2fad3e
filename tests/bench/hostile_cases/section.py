"""Files of the section style."""

from hostile_cases.build import Build, checked, claimed, full, long, many
from pincheck.model import limits

_SAVED = "[printer]\n#*# <---------------------- SAVE_CONFIG ---------------------->\n"
_THINGS = (
    "[heater_generic h@]\nheater_pin: PA1\nsensor_pin: PA2\nmax_temp: 300\n"
    "[heater_fan f@]\npin: PA3\nheater: h@\n[temperature_sensor t@]\nsensor_pin: PC1\n"
)
_MERGE = "<<<<<<< a\npin: PA1\n=======\npin: PA2\n>>>>>>> b\n"


def _include(number: int, ways: int) -> str:
    first = "" if number else "[printer]\nkinematics: none\n"
    include = f"[include f{number + 1}.cfg]\n" * ways
    return f"{first}{include}[fan_generic f{number}]\npin: PA{number % 16}\n"


CASES: dict[str, Build] = {
    "section: full of [": checked(m__cfg=full("[\n", "[printer]\n")),
    "section: full of headers": checked(
        m__cfg=full("[fan_generic f@]\n", "[printer]\n", times=limits.SETTINGS - 10)
    ),
    "section: full of keys": checked(m__cfg=full("k@: @\n", "[printer]\n")),
    "section: full of one key": checked(m__cfg=full("heater_pin: PC8\n", "[extruder]\n")),
    "section: full of one section": checked(m__cfg=full("[extruder]\nheater_pin: PC8\n")),
    "section: full of fans": checked(m__cfg=full("[fan_generic f@]\npin: PA1\n", "[printer]\n")),
    "section: claims of fans": claimed(m__cfg=full("[fan_generic f@]\npin: PA1\n", "[printer]\n")),
    "section: full of things": checked(m__cfg=full(_THINGS, "[printer]\n")),
    "section: most keys": checked(
        m__cfg=full("heater_fan_@: PA1\n", "[printer]\n", times=limits.SETTINGS - 10)
    ),
    "section: most of one key": checked(
        m__cfg=full("heater_pin: PC8\n", "[extruder]\n", times=limits.UNDERSTOOD - 10)
    ),
    "section: most fans": checked(
        m__cfg=full("[fan_generic f@]\npin: PA1\n", "[printer]\n", times=limits.UNDERSTOOD - 10)
    ),
    "section: most sections": checked(
        m__cfg=full("[output_pin f@]\npin: PA1\n", "[printer]\n", times=limits.SECTIONS - 10)
    ),
    "section: most commented keys": checked(
        m__cfg=full("#pin@: PA1\n", "[printer]\n", times=limits.SETTINGS - 10)
    ),
    "section: full of commented keys": checked(m__cfg=full("#pin@: PA1\n", "[printer]\n")),
    "section: full of one value": checked(m__cfg=full("  G1 X1\n", "[gcode_macro A]\ngcode:\n")),
    "section: full of templates": checked(
        m__cfg=full("[fan_generic f@]\npin: {{ printer.a }}\n", "[printer]\n")
    ),
    "section: full of saved keys": checked(m__cfg=full("#*# k@ = 1\n", _SAVED)),
    "section: full of aliases": checked(
        m__cfg=full("    A@=PA1,\n", "[printer]\n[fan]\npin: A1\n[board_pins]\naliases:\n")
    ),
    "section: full of lists of aliases": checked(
        m__cfg=full("[board_pins b@]\naliases: A@=PA1, B@=PA2\n", "[printer]\n")
    ),
    "section: full of lists of pins": checked(
        m__cfg="[printer]\n"
        + "".join(long("PA1,", f"[fan_generic f{n}]\npin: ") for n in range(195))
    ),
    "section: full of long lines": checked(m__cfg="[printer]\n" + long("a: ;") * 195),
    "section: full of broken lines": checked(m__cfg=full("line @ is broken\n\n", "[printer]\n")),
    "section: full of odd mistakes": checked(
        m__cfg=full("pin PA1\nkey\n<html>\n[x\n]\n", "[printer]\n")
    ),
    "section: full of merge marks": checked(
        m__cfg=full(_MERGE, "[printer]\n[fan]\n", times=limits.UNDERSTOOD // 2 - 10)
    ),
    "section: includes that multiply": many(12, "f@.cfg", lambda n: _include(n, 10)),
    "section: includes 100 deep": many(100, "f@.cfg", lambda n: _include(n, 1)),
    "section: includes in a circle": checked(
        m__cfg="[printer]\n[include a.cfg]\n", a__cfg="[fan]\npin: PA1\n[include m.cfg]\n"
    ),
    "section: 390 files that match all": many(
        390, "f@.cfg", lambda _: "[include *.cfg]\n[include f*.cfg]\n[fan]\npin: PA1\n"
    ),
    "section: full of patterns": many(
        380,
        "f@.cfg",
        lambda _: "[fan]\npin: PA1\n",
        m__cfg=full("[include x@*?[a-z]*.cfg]\n", "[printer]\n", times=limits.SECTIONS - 10),
    ),
    "section: full of files not sent": checked(
        m__cfg=full("[include x@.cfg]\n", "[printer]\n", times=limits.SECTIONS - 10),
        a__cfg="[fan]\npin: PA1\n",
    ),
    "section: pattern that backtracks": many(
        1,
        f"{'a' * 200}.cfg",
        lambda _: "[fan]\npin: PA1\n",
        m__cfg="[printer]\n" + long("*a", "[include ", "b.cfg]"),
    ),
    "section: 240 files, 5 MB": many(
        240,
        "f@.cfg",
        lambda n: (
            ("" if n else "[printer]\n[include *.cfg]\n") + f"[fan_generic f{n}]\npin: PA1\n" * 700
        ),
    ),
}

"""Invented define-style headers in the proportions that real machines have.

A machine's main and advanced header together: 6,900 lines, 1,175 active and 979 commented-out
defines, about 330 conditionals to depth 4, a fifth of them on names that no header defines, the
rest comments and blank lines; 277 kB.
"""

from collections.abc import Iterator
from random import Random

_SUBJECTS = (
    "HEATER BED HOTEND FAN PROBE SERVO EXTRUDER FILAMENT ENDSTOP STEPPER SPINDLE CHAMBER COOLER "
    "LASER DISPLAY BUZZER ENCODER BELT NOZZLE GANTRY MARSH REED HERON AVOCET CURLEW BITTERN"
)
_ASPECTS = (
    "SPEED LIMIT OFFSET PERIOD CURRENT SENSOR PIN TEMP RATE STEPS MODE DELAY RANGE INVERTING "
    "MARGIN FACTOR SUPPORT HOMING COUNT FREQUENCY"
)
_WORDS = (
    "the machine moves this far before it stops set to zero when no part is fitted most boards "
    "need the larger value measured at room temperature see the wiring notes for your kit"
)
SUBJECTS, ASPECTS, WORDS = _SUBJECTS.split(), _ASPECTS.split(), _WORDS.split()


class Header:
    """One header growing line by line until it holds as many as asked for."""

    def __init__(self, random: Random, name: str, lines: int) -> None:
        self.random = random
        self.name = name
        self.lines = lines
        self.flags: list[str] = []
        self.numbers: list[str] = []
        self.serial = 0

    def text(self) -> str:
        """Return the header."""
        out: list[str] = [f"#ifndef {self.name}_H", f"#define {self.name}_H", "#pragma once"]
        while len(out) <= self.lines:
            out += self.block(0)
        depth = 0
        for count, line in enumerate(out):
            if count + depth >= self.lines and not line.startswith(" *"):
                break
            depth += line.lstrip().startswith("#if") - line.lstrip().startswith("#endif")
        return "\n".join([*out[:count], *["#endif"] * depth, ""])

    def block(self, depth: int) -> Iterator[str]:
        """Yield one topic: a heading, some defines, perhaps a conditional around more."""
        indent = "  " * depth
        if depth == 0 and self.random.random() < 0.45:
            yield "/**"
            yield from (f" * {self.prose(9)}" for _ in range(self.random.randint(1, 6)))
            yield " */"
        for _ in range(self.random.randint(1, 4)):
            if self.random.random() < 0.85:
                yield f"{indent}// {self.prose(self.random.randint(4, 17))}"
            yield indent + self.define()
            if self.random.random() < 0.44:
                yield ""
        if depth < 4 and self.random.random() < 0.4:
            yield from self.conditional(indent, depth)

    def conditional(self, indent: str, depth: int) -> Iterator[str]:
        """Yield one `#if` to its `#endif`."""
        yield f"{indent}#{self.opener()}"
        yield from self.block(depth + 1)
        if self.random.random() < 0.12:
            yield f"{indent}#elif {self.condition()}"
            yield from self.block(depth + 1)
        if self.random.random() < 0.18:
            yield f"{indent}#else"
            yield from self.block(depth + 1)
        yield f"{indent}#endif" + (f" // {self.flag()}" if self.random.random() < 0.3 else "")

    def define(self) -> str:
        """Return a define, active or commented out, with or without a comment behind it."""
        self.serial += 1
        name = f"{self.pick(SUBJECTS)}_{self.pick(ASPECTS)}_{self.serial}"
        mark = "//" if self.random.random() < 0.46 else ""
        kept, value = self.value()
        if kept and self.random.random() < 0.03:
            name = kept[-1]
        elif kept is not None and not mark:
            kept.append(name)
        behind = f"  // {self.prose(6)}" if self.random.random() < 0.42 else ""
        return f"{mark}#define {name} {value}{behind}".rstrip()

    def value(self) -> tuple[list[str] | None, str]:
        """Return a value of one of the kinds that headers hold, and where to note its name."""
        number = str(self.random.choice((0, 1, 2, 5, 10, 25, 60, 100, 250, 3000)))
        forms: tuple[tuple[int, list[str] | None, str], ...] = (
            (30, self.flags, ""),
            (26, self.numbers, number),
            (8, None, f"{self.random.random() * 50:.2f}"),
            (7, self.flags, self.pick(("true", "false"))),
            (4, None, f"P{self.pick('ABCD')}{self.random.randint(0, 15)}"),
            (3, self.numbers, "-1"),
            (5, self.numbers, self.number()),
            (4, self.numbers, f"({self.number()} + {number})"),
            (3, None, f"{{ {number}, {number}, {self.random.randint(1, 900)} }}"),
            (2, None, f"{{ {self.random.randint(1, 9)}*60, {number}*60 }}"),
            (2, self.numbers, f"{number}*60"),
            (3, None, f'"{self.prose(2)}"'),
            (2, self.numbers, f"0x{self.random.randint(16, 4095):X}"),
            (1, self.numbers, f"{number}UL"),
        )
        return self.random.choices([f[1:] for f in forms], [f[0] for f in forms])[0]

    def opener(self) -> str:
        """Return what follows the `#` of a conditional's first line."""
        kind = self.random.random()
        if kind < 0.12:
            return f"ifdef {self.flag()}"
        if kind < 0.2:
            return f"ifndef {self.flag()}"
        return f"if {self.condition()}"

    def condition(self) -> str:
        """Return a condition of one of the forms that headers hold."""
        first, second, third = self.flag(), self.flag(), self.flag()
        number, small = self.number(), self.random.randint(0, 9)
        forms = (
            (30, f"ENABLED({first})"),
            (10, f"DISABLED({first})"),
            (10, f"ANY({first}, {second}, {third})"),
            (7, f"BOTH({first}, {second})"),
            (6, f"EITHER({first}, {second})"),
            (5, f"defined({first})"),
            (6, number),
            (8, f"{number} > {small}"),
            (6, f"ENABLED({first}) && {number} == {small}"),
            (5, f"!ENABLED({first}) || DISABLED({second})"),
            (4, "PIN_EXISTS(SERVO0)"),
        )
        return self.random.choices([f[1] for f in forms], [f[0] for f in forms])[0]

    def flag(self) -> str:
        """Return a flag for a condition, one in ten of them defined nowhere."""
        if self.random.random() < 0.1 or not self.flags:
            return f"HAS_{self.pick(SUBJECTS)}_{self.random.randint(1, 9)}"
        return self.pick(self.flags[-400:])

    def number(self) -> str:
        """Return the name of a number that the header defines further up."""
        return self.pick(self.numbers[-400:]) if self.numbers else "1"

    def prose(self, words: int) -> str:
        """Return a few words."""
        return " ".join(self.random.choices(WORDS, k=words))

    def pick(self, of: "str | list[str] | tuple[str, ...]") -> str:
        """Return one of them."""
        return self.random.choice(of)


def machine(seed: int, scale: float = 1.0) -> tuple[str, str]:
    """Return the text of a main and an advanced header."""
    random = Random(seed)
    main = Header(random, "MACHINE", round(3400 * scale))
    advanced = Header(random, "MACHINE_ADV", round(3500 * scale))
    return main.text(), advanced.text()


CALLS = """\
#define CALL_TAKE_SECOND_(a, b, ...) b
#define CALL_TAKE_SECOND(...) CALL_TAKE_SECOND_(__VA_ARGS__)
#define CALL_IS_ON_ ~, 1
#define CALL_IS_ON_1 ~, 1
#define CALL_IS_ON_true ~, 1
#define CALL_IS_ON(value) CALL_TAKE_SECOND(CALL_IS_ON_ ## value, 0, 0)
#define CALL_IS_ON_VALUE(value) CALL_IS_ON(value)
#define ENABLED(name) CALL_IS_ON_VALUE(name)
#define DISABLED(name) !ENABLED(name)
#define EITHER(a, b) (ENABLED(a) || ENABLED(b))
#define BOTH(a, b) (ENABLED(a) && ENABLED(b))
#define ANY(a, b, c) (ENABLED(a) || ENABLED(b) || ENABLED(c))
#define ALL(a, b, c) (ENABLED(a) && ENABLED(b) && ENABLED(c))
#define NONE(a, b, c) (!ANY(a, b, c))
#define PIN_EXISTS(name) (defined(name ## _PIN) && name ## _PIN >= 0)
"""
"""The condition calls as macros, for a C preprocessor that does not know them."""

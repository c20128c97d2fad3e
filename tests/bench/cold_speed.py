"""What a whole command takes from a cold start, against importing two libraries alone.

Processor time of processes that take turns, bytecode written beforehand as an installation does.
"""

from collections.abc import Iterator

from measure import Row, at_most, processor_s, python

ROUNDS = 15
BASE = python("-c", "import lark, attrs")
COMMANDS = {
    "check --demo": ("check", "--demo"),
    "check --demo, define style": ("check", "--demo", "--style", "define"),
    "check --demo, gcode style": ("check", "--demo", "--style", "gcode"),
    "rules": ("rules",),
    "--help": ("--help",),
}


def measures() -> Iterator[Row]:
    """Yield each command's time as a ratio."""
    commands = {name: python("-m", "pincheck", *words) for name, words in COMMANDS.items()}
    for command in commands.values():
        processor_s(command)
    rounds = [
        (processor_s(BASE), *(processor_s(command) for command in commands.values()))
        for _ in range(ROUNDS)
    ]
    base, *times = (min(column) for column in zip(*rounds, strict=True))
    yield Row("import lark, attrs", f"{base * 1e3:.0f} ms")
    for name, time in zip(commands, times, strict=True):
        row = at_most(f"{name} / import lark, attrs", time / base, 2)
        yield row if name == "check --demo" else Row(row.name, row.figure)

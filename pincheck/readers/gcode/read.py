"""The scripts of one machine in the gcode style to settings, in the order of execution."""

import re
from collections.abc import Iterator, Sequence

from attrs import evolve

from pincheck.model import limits
from pincheck.model.problem import Problem, UnreadableError, refusal
from pincheck.model.reading import Later, Reading
from pincheck.model.setting import Activity, Setting
from pincheck.model.source import Source
from pincheck.readers.gcode.files import homes_z, is_start_up, main_file, main_files, roots
from pincheck.readers.gcode.objects import Objects
from pincheck.readers.gcode.run import Execution, Script

_PROTECTS = re.compile(
    r"M106 P\d+ [HTS]|M1[49]0 H|M143|M30[58] .* \w$|M570|M558 K?\d* *[PC]$|M950 [HFS]\d+ [CT]$"
)
"""The letters of what start-up protects: limits, monitors, sensors, fans that watch, the probe."""


def read(sources: Sequence[Source], main: Source | None = None) -> Reading:
    """Return the settings of one machine.

    Reading starts at `main`, else at the script that `main_file` finds, else at each script that
    no other calls; called scripts are read in their place, others not at all. Every letter of
    every command is a setting: `section` is the command with what it is about ("M308 S1"), `key`
    the letter in upper case (in lower case where an apostrophe marks a lower-case axis), `value`
    the text without quotes and `value_start` to `value_end` that inner text. A command without
    letters is one setting with an empty key. A command about several axes gives its letters
    once for each. `start` is the comment mark in a line that is commented out. Later settings
    that override earlier ones all stay active. Nothing outside `sources` is ever read.

    Raises:
        UnreadableError: there is more of something than any machine has.
    """
    start = main or main_file(sources)
    starts = [start] if start else list(main_files(sources))
    machine = Execution(sources, start)
    if start is None and len(starts) > 1 and _same_base(starts):
        machine.problems += (_second_machine(starts[0], other) for other in starts[1:])
        starts = starts[:1]
    elif start is None:
        starts = list(roots(sources))
    for source in starts:
        Script(machine, source).run()
    whole = len(starts) == 1 and is_start_up(starts[0]) and not machine.not_sent
    said: dict[str, tuple[Setting, ...]] = {}
    after = tuple(_events(machine, said)) if whole else ()
    probing = machine.files.probing().items()
    once: dict[tuple[str, int, str, str], Setting] = {}
    for setting in machine.settings:
        key = setting.source.name, setting.key_start, setting.section, setting.key
        once.pop(key, None)
        once[key] = setting
    problems = (*machine.problems, *(p for it in machine.mistakes.values() for p in it.close()))
    settings, lost = machine.objects.outcome(tuple(once.values()), whole)
    not_sent = tuple(machine.not_sent.values())
    later = []
    for then in after:
        held, _ = then.objects.outcome((*once.values(), *then.settings), whole)
        reading = Reading("gcode", tuple(sources), held, (), not_sent)
        later.append(Later(reading, tuple(then.settings)))
    return Reading(
        "gcode",
        tuple(sources),
        settings,
        (),
        not_sent,
        problems,
        lost,
        later=tuple(later),
        probing={word: said[source.name] for word, source in probing if source.name in said},
        homing=tuple(it for name in said if homes_z(name) for it in said[name]),
    )


def _events(machine: Execution, said: dict[str, tuple[Setting, ...]]) -> Iterator[Execution]:
    """Run what starts by itself later, and yield the machine after each that undoes something.

    What each script says goes into `said`, by its name.
    For start-up only what such a script says to objects that are not there counts. Afterwards
    each of its lines counts that may run at all: one that undoes a protection at times undoes it.
    """
    machine.objects.started = True
    count = 0
    for source in machine.files.started_by_events(machine.objects.numbers("tool")):
        before = machine.objects.copy()
        try:
            after = _after(machine, source, machine.objects, Activity.LATER)
            said[source.name] = tuple(after.settings)
            if any(_PROTECTS.match(f"{it.section} {it.key}") for it in after.settings):
                count += 1
                if count > limits.EVENT_SCRIPTS:
                    what = (
                        f"more than {limits.EVENT_SCRIPTS} scripts that set heaters or fans later"
                    )
                    raise refusal(source, 0, what)
                yield _after(machine, source, before, Activity.ACTIVE)
        except UnreadableError as error:
            machine.problems += (evolve(problem, fatal=False) for problem in error.problems)


def _after(machine: Execution, source: Source, objects: Objects, as_: Activity) -> Execution:
    after = Execution(
        machine.sources,
        machine.start,
        later=as_,
        variables=dict(machine.variables),
        objects=objects,
        files=machine.files,
    )
    Script(after, source).run()
    return after


def _same_base(sources: Sequence[Source]) -> bool:
    return all(source.name.lower().endswith("config.g") for source in sources)


def _second_machine(read_one: Source, other: Source) -> Problem:
    return Problem(
        other.name,
        f"this looks like another machine's start-up script; only {read_one.name} was read",
        expected="the files of one machine",
    )

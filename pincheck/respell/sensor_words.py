"""How a style writes a sensor: a table number, a name, or letters."""

import re
from collections.abc import Iterator

from pincheck.claims.entry import Entry
from pincheck.claims.interpretation import Interpretation
from pincheck.claims.pattern import filled, matched, places
from pincheck.claims.shown import SEEN
from pincheck.model.claim import SensorValue
from pincheck.model.setting import Setting
from pincheck.respell.numbers import spell_number
from pincheck.sensors import Sensor, UnknownSensorError, fitted, hot_c, letters, sensor, spellings
from pincheck.styles.step import Add, CannotSpellError, Replace, Step

_OWN = "thermistor"
_FIGURES = ("r25_ohm", "beta_k", "c")


def sensor_words(machine: Interpretation, role: str, value: SensorValue) -> str:
    """Return the style's word for a sensor of the catalogue, with the pull-up that it is used with.

    Raises:
        ValueError: the catalogue or the style does not know it.
    """
    if not value.sensor:
        raise ValueError("a sensor described by figures has no word of its own")
    style = machine.reading.style
    try:
        part = _part(machine, role, value.sensor)
        known = spellings(style, part, _pullup_ohm(machine, role), hot_c(role))
        known = known or spellings(style, part, hot_c=hot_c(role))
    except UnknownSensorError as error:
        raise ValueError(error.message) from None
    if not known:
        raise ValueError(f"the {style} style has no word for {value.sensor}")
    # what the usual table of a number says is no promise where the upload has its own one
    own = machine.reading.tables
    usual = next((word for word in known if word not in own), "")
    if not usual:
        raise ValueError(
            f"table {known[0]}, usual for {value.sensor}, is {own[known[0]].file} here"
        )
    return usual


def _part(machine: Interpretation, role: str, sensor_id: str) -> Sensor:
    """Return the part fitted for a role, or that of the catalogue where another one is meant.

    Raises:
        UnknownSensorError: there is no such sensor.
    """
    wired = machine.trace.find(role) if machine.trace else None
    own = fitted(wired.part) if wired and wired.part.sensor == sensor_id else None
    return own or sensor(sensor_id)


def _pullup_ohm(machine: Interpretation, role: str) -> float | None:
    """Return the pull-up of the line that a sensor hangs on, where the wiring shows one alone."""
    wired = machine.trace.find(role) if machine.trace else None
    pullups = wired.path.pullups if wired else ()
    return pullups[0].ohm if len(pullups) == 1 else None


def letter_steps(
    machine: Interpretation,
    section: str,
    role: str,
    value: SensorValue,
    entry: Entry,
    after: Setting | None = None,
) -> Iterator[Step]:
    """Yield the steps that make one command describe a sensor.

    Raises:
        CannotSpellError: nobody knows the letters of the sensor.
    """
    # all letters or none: those of another part that were left beside new ones describe neither
    wanted = _letters(machine, role, value)
    word = _OWN
    if wanted is None:
        try:
            word = sensor_words(machine, role, value)
        except ValueError as error:
            raise CannotSpellError(str(error)) from None
    if entry.read_as == "sensor":
        yield from _letter(machine, section, entry.key, word, after, quoted=True)
    elif wanted is None:
        raise CannotSpellError(f"{section} has letters for thermistors only")
    for figure, number in zip(_FIGURES, wanted or (), strict=False):
        of_section = (
            e for e in machine.vocabulary.figures if matched(e.section, section) is not None
        )
        own = (e for e in of_section if e.figure == figure and set(places(e.key)) <= {"n", "n?"})
        if (known := next(own, None)) is None:
            raise CannotSpellError(f"no key of {section} is known for the {figure} of a sensor")
        key = filled(known.key, {"n": "0"})
        yield from _letter(machine, section, key, _plain(number), after)


def figure_steps(machine: Interpretation, value: SensorValue) -> Iterator[Step]:
    """Yield the steps that set figures of a user's own sensor in the lines where they stand.

    Raises:
        CannotSpellError: no key of such a line is known for the figure.
    """
    for _, number, setting in value.lines:
        entries = machine.vocabulary.figures
        entry = next(
            (e for e in entries if e.match(setting.section, setting.key) is not None), None
        )
        if entry is None:
            raise CannotSpellError(f"no figure of a sensor is known as {setting.key}")
        target = machine.style.where_written(setting, machine.reading.sources)
        yield Replace(target, spell_number(number, target.value, entry))


def _plain(number: float) -> str:
    """Return 7.06e-8 rather than 7.06e-08, as the trade writes it."""
    return re.sub(r"e([-+])0+", r"e\1", f"{number:.10g}")


def _alike(old: str, new: str) -> bool:
    try:
        return float(old) == float(new)
    except ValueError:
        return old.lower() == new.lower()


def _letters(
    machine: Interpretation, role: str, value: SensorValue
) -> tuple[float, float, float] | None:
    figures = dict(value.figures)
    if value.sensor:
        try:
            return letters(_part(machine, role, value.sensor), hot_c(role))
        except UnknownSensorError as error:
            raise CannotSpellError(error.message) from None
    found = (figures.get("r25_ohm"), figures.get("beta_k"), figures.get("c", 0.0))
    r25, beta, c = (f if isinstance(f, float) else None for f in found)
    if r25 is None or beta is None or c is None:
        raise CannotSpellError("the figures of the sensor do not give letters")
    return r25, beta, c


def _letter(
    machine: Interpretation,
    section: str,
    key: str,
    text: str,
    after: Setting | None,
    *,
    quoted: bool = False,
) -> Iterator[Step]:
    shown = [s for s in machine.shown.of(section, key) if s.activity in SEEN]
    if shown:
        if not _alike(shown[-1].value.strip(), text):
            yield Replace(shown[-1], text)
        return
    own = [s for s in machine.shown.in_section(section) if s.activity in SEEN]
    yield Add(section, key, f'"{text}"' if quoted else text, own[-1] if own else after)

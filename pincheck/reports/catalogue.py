"""The catalogues of parts and chips, searched by words, as text and as JSON."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from pincheck.chips import SPECIAL_WORDS, Chip, ChipPin, chip, known_chips
from pincheck.model.frozen import frozen
from pincheck.model.nearest import holds
from pincheck.model.wiring import Part, Signal
from pincheck.reports.json import SCHEMA_VERSION, Json
from pincheck.reports.sentences import digits, plural
from pincheck.reports.text import labelled, wrap
from pincheck.wiring.schema import PART, SIGNAL, TACHOMETER

_NO_FIGURES = ("kind", "title", "terminals", "curve", "tachometer", "source")


@frozen
class PartFigure:
    """One figure of a part: the key of its table, and what it says in words and a unit."""

    key: str
    words: str
    value: float | str | bool
    unit: str

    def __str__(self) -> str:
        if isinstance(self.value, bool):
            return self.words
        value = self.value if isinstance(self.value, str) else digits(self.value, 6)
        return f"{self.words} {value} {self.unit}".rstrip()


def figures_of(part: Part) -> Iterator[PartFigure]:
    """Yield each figure that a part gives, in the order of the wiring guide."""
    for key, field in PART.items():
        if key not in _NO_FIGURES:
            value = getattr(part.signal if key in SIGNAL else part, key)
            if value not in (None, "", False):
                yield PartFigure(key, field.words.partition(" (")[0], value, field.unit)
    yield from _tachometer(part.tachometer)


def _tachometer(signal: Signal) -> Iterator[PartFigure]:
    for key, field in TACHOMETER.items():
        if value := getattr(signal, key):
            words = f"tachometer's {field.words}"
            yield PartFigure(f"tachometer.{key}", words, value, field.unit)


def parts_holding(words: Sequence[str], parts: Iterable[Part]) -> tuple[Part, ...]:
    """Return the parts whose name, kind, title, sensor or roles' terminals hold every word."""
    return tuple(
        part
        for part in parts
        if holds(f"{part.id} {part.kind} {part.title} {part.sensor} {part.probe_kind}", words)
    )


def part_lines(parts: Iterable[Part]) -> Iterator[str]:
    """Yield each part under its kind: name, words, terminals, figures, source."""
    kind = ""
    for part in parts:
        if part.kind != kind:
            yield from ([""] if kind else [])
            kind = part.kind
            yield kind
        yield from wrap(f"{part.id:<26} {part.title}", "  ")
        if part.terminals:
            yield from labelled("plug", ", ".join(wants or "(open)" for wants in part.terminals))
        said = [str(it) for it in figures_of(part) if it.key != "max_c_because"]
        if part.curve:
            said.append(f"a curve of its own with {plural(len(part.curve), 'point')}")
        yield from labelled("figures", ", ".join(said) or "none: what needs one is not checked")
        if part.source:
            yield from labelled("source", part.source)


def part_records(parts: Iterable[Part]) -> Json:
    """Return parts as plain JSON values."""
    return {
        "schema_version": SCHEMA_VERSION,
        "parts": [
            {
                "id": part.id,
                "kind": part.kind,
                "title": part.title,
                "terminals": list(part.terminals),
                "figures": [
                    {"key": it.key, "words": it.words, "value": it.value, "unit": it.unit}
                    for it in figures_of(part)
                ],
                "curve": list(map(list, part.curve)),
                "source": part.source,
            }
            for part in parts
        ],
    }


def chips_holding(words: Sequence[str]) -> tuple[Chip, ...]:
    """Return the chips that words find, the one that they spell first.

    A full order code is one chip though the data file it without package or grade. Words that
    are in no name are looked for in the families.
    """
    spelt = chip("".join(words))
    if spelt and spelt.exact:
        return (spelt,)
    known = known_chips()
    named = [name for name in known if holds(name, words)]
    found = tuple(it for name in named or known if (it := chip(name)))
    return found if named else tuple(it for it in found if holds(it.family, words))


def chip_lines(chips: Sequence[Chip]) -> Iterator[str]:
    """Yield a table of several chips, or all that is known of a single one."""
    if len(chips) == 1:
        yield from _one_chip(chips[0])
        return
    yield f"{'chip':<18} {'family':<12} {'pins':>4} {'analog':>6} {'PWM':>4}  logic"
    for it in chips:
        analog = sum(pin.adc for pin in it.pins.values()) if "converters" in it.knows else "?"
        logic = f"{it.logic_v:g} V" if it.logic_v else "?"
        yield f"{it.name:<18} {it.family:<12} {len(it.pins):>4} {analog:>6} {_pwm(it):>4}  {logic}"
    yield "? = not known; `pincheck chips NAME` shows the pins of one"


def _pwm(it: Chip) -> str:
    if it.pwm_on_any_pin:
        return "all"
    return str(sum(bool(p.timers) for p in it.pins.values())) if "timers" in it.knows else "?"


def _one_chip(it: Chip) -> Iterator[str]:
    yield f"{it.name}, family {it.family}"
    if it.stands_for:
        yield from labelled("pins as", it.stands_for)
    if not it.exact:
        yield from labelled("but", "the name leaves the package open: yours may lack a pin")
    logic = f"{it.logic_v:g} V" if it.logic_v else "not known"
    yield from labelled("logic", logic)
    if it.converter_bits:
        yield from labelled("converter", f"{it.converter_bits} bit")
    yield from labelled("source", f"{it.basis.source} ({it.basis.confidence})")
    unknown = [what for what in ("converters", "timers") if what not in it.knows]
    if unknown:
        yield from labelled("not known", ", ".join(unknown))
    if it.pwm_on_any_pin:
        yield from labelled("PWM", "on any pin")
    yield ""
    for pin in it.pins.values():
        said = [*map(str, (*pin.converters, *pin.timers)), *(SPECIAL_WORDS[w] for w in pin.special)]
        said += {"yes": ["stands 5 V"], "unless-analog": ["stands 5 V unless analog"]}.get(
            pin.five_volt, []
        )
        yield from labelled(pin.name, "; ".join(said) or "plain input or output")


def chip_records(chips: Iterable[Chip]) -> Json:
    """Return chips as plain JSON values, null for what is not known."""
    return {"schema_version": SCHEMA_VERSION, "chips": list(map(_chip_record, chips))}


def _chip_record(it: Chip) -> Json:
    return {
        "name": it.name,
        "family": it.family,
        "exact": it.exact,
        "stands_for": it.stands_for,
        "logic_v": it.logic_v,
        "converter_bits": it.converter_bits,
        "pwm_on_any_pin": it.pwm_on_any_pin,
        "knows": sorted(it.knows),
        "source": it.basis.source,
        "confidence": it.basis.confidence,
        "pins": [_pin_record(pin) for pin in it.pins.values()],
    }


def _pin_record(pin: ChipPin) -> dict[str, Any]:
    return {
        "name": pin.name,
        "converters": list(map(str, pin.converters)),
        "timers": list(map(str, pin.timers)),
        "special": list(pin.special),
        "five_volt": pin.five_volt,
    }

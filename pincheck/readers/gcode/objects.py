"""The objects of one machine while its scripts run: created, set, created afresh.

A command for an object that is not there is lost; creating an object again starts it with the
defaults of the firmware.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from attrs import define, field

from pincheck.model.reading import Lost, NotSent
from pincheck.model.setting import Activity, Setting
from pincheck.readers.gcode.blocks import joined
from pincheck.readers.gcode.kinds import (
    AXES,
    BEDS,
    BY_AXIS,
    BY_LETTER,
    KIND_OF,
    UNSAID,
    ObjectKey,
    ObjectKind,
    plain,
)

_NO_PIN = frozenset(("", "nil"))


@define
class _Object:
    """One object as it stands: what has set it, and the conditions one of which it takes."""

    settings: list[Setting]
    maybe: list[str] = field(factory=list)


@define
class Objects:
    """All objects of one machine while its scripts run.

    After `started`, scripts run that later events start: what they set is no claim, but what
    they say to an object that nothing creates is lost, too.
    """

    started: bool = False
    _made: dict[ObjectKey, _Object] = field(factory=dict)
    _makers: dict[ObjectKey, Setting] = field(factory=dict)
    _lost: list[tuple[ObjectKey, bool, Setting]] = field(factory=list)
    _ended: dict[int, Setting | None] = field(factory=dict)
    _only_if: dict[int, str] = field(factory=dict)
    _newer: bool = False

    def copy(self) -> "Objects":
        """Return the same objects, which further scripts set and create."""
        made = {key: _Object([*it.settings], [*it.maybe]) for key, it in self._made.items()}
        them = (dict(self._makers), [*self._lost], dict(self._ended), dict(self._only_if))
        return Objects(False, made, *them, self._newer)

    def numbers(self, kind: str) -> Iterator[str]:
        """Yield the number of every object of a kind that there is."""
        return (number for of, number in self._made if of == kind)

    def run(
        self,
        name: str,
        letter: str,
        number: str,
        settings: Sequence[Setting],
        missing: Mapping[str, NotSent],
    ) -> None:
        """Carry out one command that is run, or may be; `missing` scripts might have run before."""
        if name in BY_LETTER:
            for setting in settings:
                if setting.key and setting.key in f"{AXES}E":
                    self._run(KIND_OF[name, ""], name, setting.key, (setting,), missing)
            return
        if name in BEDS and not self.started:
            self._become_bed(settings)
        letter, number = (letter, number) if letter else UNSAID.get(name, ("", ""))
        kind = KIND_OF.get((name, "" if name in BY_AXIS else letter))
        if kind and (number.isdecimal() or name in BY_AXIS):
            self._run(kind, name, number, settings, missing)

    def _run(
        self,
        kind: ObjectKind,
        name: str,
        number: str,
        settings: Sequence[Setting],
        missing: Mapping[str, NotSent],
    ) -> None:
        self._newer = self._newer or name in ("M950", "M308")
        key = kind.name, number
        there = self._made.get(key)
        if there is None and kind.given:
            there = self._made[key] = _Object([])
        if name == kind.maker and _creates(kind, number, there, settings):
            self._makers.setdefault(key, settings[0])
            if not self.started:
                self._create(key, there, settings)
        elif there is None:
            if missing:
                script = next(iter(missing.values())).name
                words = f"{script}, which was not sent, sets up {kind.name} {number}"
                self._doubt(settings, [words])
            else:
                self._lost += ((key, key in self._makers, setting) for setting in settings)
        elif not self.started:
            self._set(kind, there, settings)

    def _create(self, key: ObjectKey, there: _Object | None, settings: Sequence[Setting]) -> None:
        """Create an object, or create it afresh; without a pin, or an end of its axis, it goes."""
        first, condition = settings[0], settings[0].condition
        if first.activity is not Activity.ACTIVE:
            if there:
                # Under the same condition this one certainly comes instead.
                same = [s for s in there.settings if s.condition == condition]
                self._end(there, same, first)
            before = there.settings if there else []
            self._doubt(before, [f"not ({condition})"])
            maybe = there.maybe if there else []
            if condition not in maybe and (there is None or maybe):
                maybe = [*maybe, condition]
            # Both branches of one condition create it: then it is there.
            whole = any(f"not ({one})" in maybe for one in maybe)
            self._made[key] = _Object([*before, *settings], [] if whole else maybe)
            return
        for setting in there.settings if there else ():
            self._ended[id(setting)] = first
        self._made[key] = _Object(list(settings))
        for setting in settings:
            if setting.key == "C" and _value(setting) in _NO_PIN:
                del self._made[key]
            elif setting.key == key[1] and key[0] == "end stop" and _value(setting) == "0":
                self._ended |= {id(s): None for s in settings if s is not setting}

    def _set(self, kind: ObjectKind, there: _Object, settings: Sequence[Setting]) -> None:
        if there.maybe:
            self._doubt((s for s in settings if s.condition not in there.maybe), there.maybe)
        if settings[0].section.startswith("M143") and settings[0].activity is Activity.ACTIVE:
            # each command sets one monitor whole (from memory)
            monitor = [s for s in there.settings if s.section == settings[0].section]
            self._end(there, monitor, settings[0])
        for setting in settings:
            if setting.section.startswith("M106") and setting.key == "H" and _watches_none(setting):
                self._ended |= {id(s): None for s in there.settings if s.key in ("H", "T")}
            other = kind.clears.get(setting.key)
            if other and all(s.key != other for s in settings):
                self._end(there, [s for s in there.settings if s.key == other], setting)
        there.settings += settings

    def _become_bed(self, settings: Sequence[Setting]) -> None:
        """Let a heater become a bed's, which sets all its monitors to their defaults."""
        for by in settings:
            heater = self._made.get(("heater", plain(_value(by))))
            if by.key == "H" and heater and by.activity is Activity.ACTIVE:
                monitors = [s for s in heater.settings if s.section.startswith("M143")]
                self._end(heater, monitors, by)

    def _end(self, thing: _Object, settings: Sequence[Setting], by: Setting) -> None:
        """Let settings be gone for good because of what `by` says."""
        gone = dict.fromkeys(map(id, settings), by)
        self._ended |= gone
        thing.settings = [s for s in thing.settings if id(s) not in gone]

    def _doubt(self, settings: Iterable[Setting], conditions: Sequence[str]) -> None:
        for setting in settings:
            known, more = self._only_if.get(id(setting), ""), " or ".join(conditions)
            if more not in known:
                self._only_if[id(setting)] = joined(known, more)

    def outcome(
        self, settings: Sequence[Setting], whole: bool
    ) -> tuple[tuple[Setting, ...], tuple[Lost, ...]]:
        """Return the settings as they hold in the end, and what was lost.

        `whole` is whether no other script could create anything: every script was sent, in its
        place. The older set of commands creates nothing, so nothing is lost there.
        """
        early: dict[int, Setting | None] = {}
        later = []
        for key, gone, setting in self._lost if self._newer else ():
            maker = None if gone else self._makers.get(key)
            if setting.activity is Activity.LATER:
                later += [] if key in self._makers or not whole else [Lost(setting)]
            elif maker or gone or whole:
                early[id(setting)] = maker
        kept, told = [], []
        for setting in settings:
            at = id(setting)
            if at in early or at in self._ended:
                idle = _held(setting, Activity.DISABLED, setting.condition)
                kept.append(idle)
                if at in early:
                    told.append(Lost(idle, early[at]))
                elif by := self._ended[at]:
                    told.append(Lost(idle, by, afresh=True))
            elif condition := self._only_if.get(at):
                condition = joined(setting.condition, condition)
                kept.append(_held(setting, Activity.POSSIBLE, condition))
            else:
                kept.append(setting)
        return tuple(kept), (*told, *later)


def _creates(
    kind: ObjectKind, number: str, there: _Object | None, settings: Sequence[Setting]
) -> bool:
    if not kind.anew:
        return True
    for setting in settings:
        values = kind.anew.get(setting.key)
        if values is not None and (not values or _value(setting) in values):
            return True
        if setting.key == number and not kind.letter and _value(setting) == "0":
            return True
        if setting.key == kind.differs and there:
            before = [_value(s) for s in there.settings if s.key == kind.differs]
            if before[-1:] != [_value(setting)]:
                return True
    return False


def _held(setting: Setting, activity: Activity, condition: str) -> Setting:
    """Return a setting as it holds in the end; `evolve` takes twenty times as long."""
    held = Setting.__new__(Setting)
    held.__dict__.update(vars(setting), activity=activity, condition=condition)
    return held


def _watches_none(setting: Setting) -> bool:
    return setting.activity is Activity.ACTIVE and _value(setting).startswith("-")


def _value(setting: Setting) -> str:
    return (setting.value if setting.resolved is None else setting.resolved).strip().lower()

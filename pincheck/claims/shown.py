"""What the files show of a key: set, surely not set, or not to be told."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from operator import itemgetter

from attrs import field

from pincheck.claims.pattern import filled, matched, stem, stems
from pincheck.model.frozen import frozen
from pincheck.model.setting import Activity, Setting

NEED_FORM = re.compile(r"(?P<key>[^=!]+?)\s*(?:(?P<sign>==|!=)\s*(?P<value>.+))?")
_ANYTHING = "*"
_ATOM = re.compile(r"\w+(?:\([^()]*\))?")
FALSE = frozenset(("0", "false", "-1", "off", "no"))
_NUMBERED_KINDS = "TEMP_SENSOR_"
SEEN = (Activity.ACTIVE, Activity.POSSIBLE)


def key_of(need: str) -> str:
    """Return the key that a condition asks for, its places unfilled."""
    match = NEED_FORM.fullmatch(need.removeprefix("!"))
    return match["key"] if match else need


def is_set(key: str, text: str) -> bool:
    """Return whether a value switches something on: -1 is a kind of sensor, and else none."""
    return text.lower() not in FALSE or (text == "-1" and key.upper().startswith(_NUMBERED_KINDS))


def text_of(setting: Setting) -> str:
    """Return what the firmware makes of a setting's value, or what was written."""
    return (setting.value if setting.resolved is None else setting.resolved).strip()


def _bare(text: str) -> str:
    """Return a text as it is compared: `probe: x` is `probe:x`."""
    return "".join(text.lower().split())


@frozen(slots=False)
class Shown:
    """Every setting of one machine by section and key.

    `evidence` are keys that stand in one file each: if all are there, nothing was held back and
    a key that is nowhere is certainly not set. Of a key among `required` that is never so: the
    firmware does not build without it. `conditions` are names for "any of these needs".
    """

    settings: Sequence[Setting]
    evidence: tuple[str, ...] = ()
    required: tuple[str, ...] = ()
    conditions: Mapping[str, tuple[str, ...]] = field(factory=dict)
    _told: dict[tuple[object, ...], tuple[bool, str]] = field(factory=dict, init=False, eq=False)

    @cached_property
    def _by_key(self) -> dict[tuple[str, str], list[Setting]]:
        table: dict[tuple[str, str], list[Setting]] = {}
        for setting in self.settings:
            place = setting.section.lower(), setting.key.lower()
            table.setdefault(place, []).append(setting)
        return table

    def of(self, section: str, key: str) -> Sequence[Setting]:
        """Return every setting of one key, the inactive ones included."""
        return self._by_key.get((section.lower(), key.lower()), ())

    @cached_property
    def _by_section(self) -> dict[str, list[Setting]]:
        table: dict[str, list[Setting]] = {}
        for setting in self.settings:
            table.setdefault(setting.section.lower(), []).append(setting)
        return table

    def in_section(self, section: str) -> Sequence[Setting]:
        """Return every setting of a section."""
        return self._by_section.get(section.lower(), ())

    def active(self, section: str, key: str) -> Setting | None:
        """Return the last setting that the firmware certainly sees."""
        found = self.of(section, key)
        return next((s for s in reversed(found) if s.activity is Activity.ACTIVE), None)

    @cached_property
    def _order(self) -> dict[str, tuple[int, Setting]]:
        """The last setting of each key that the firmware certainly sees, with its number."""
        seen = (s for s in self.settings if s.activity is Activity.ACTIVE)
        return {s.key: (number, s) for number, s in enumerate(seen)}

    def last(self, keys: Iterable[str]) -> Setting | None:
        """Return the last setting of several keys that the firmware certainly sees."""
        found = (self._order[key] for key in keys if key in self._order)
        last = max(found, key=itemgetter(0), default=None)
        return last and last[1]

    @cached_property
    def complete(self) -> bool:
        """Whether every file that the evidence asks for was sent."""
        return all(any(self.of("", key)) for key in self.evidence)

    @cached_property
    def sections(self) -> tuple[str, ...]:
        """Every section or command that the firmware may see, in order."""
        return tuple(dict.fromkeys(s.section for s in self.settings if s.activity in SEEN))

    @cached_property
    def _by_stem(self) -> dict[str, list[str]]:
        table: dict[str, list[str]] = {}
        for section in self.sections:
            table.setdefault(stem(section), []).append(section)
        return table

    def matching(self, pattern: str) -> Sequence[tuple[str, dict[str, str]]]:
        """Return every section that a pattern describes, with what fills its places."""
        if pattern not in self._matching:
            self._matching[pattern] = tuple(self._matched(pattern))
        return self._matching[pattern]

    @cached_property
    def _matching(self) -> dict[str, Sequence[tuple[str, dict[str, str]]]]:
        """What was asked so far: many entries speak of the keys of one section."""
        return {}

    def _matched(self, pattern: str) -> Iterator[tuple[str, dict[str, str]]]:
        for section in (s for text in stems(pattern) for s in self._by_stem.get(text, ())):
            groups = matched(pattern, section)
            if groups is not None:
                yield section, {name: text or "0" for name, text in groups.items()}

    def holds(self, need: str, section: str, groups: Mapping[str, str]) -> tuple[bool, str]:
        """Return whether a condition holds, and why that is not certain (empty where it is).

        A condition is `KEY` (set, and not to 0, -1 or false), `KEY==text`, `KEY!=text`,
        `KEY==*` (set to anything), the name of a list of conditions of which one must hold, or
        several joined by ` and `; `!` before it turns it round.
        """
        if need.startswith("!"):
            truth, reason = self.holds(need[1:], section, groups)
            return not truth, reason
        if " and " in need:
            return all_hold(self, need.split(" and "), section, groups)
        if need in self.conditions:
            # Told once: two that each name the next twice would double with every step.
            named = section, need, tuple(sorted(groups.items()))
            if named not in self._told:
                self._told[named] = self._any(self.conditions[need], section, groups)
            return self._told[named]
        match = NEED_FORM.fullmatch(need)
        assert match
        key = filled(match["key"], groups)
        value = filled(match["value"] or "", groups)
        asked = section, key, match["sign"] or "", value
        if asked not in self._told:
            self._told[asked] = self._truth(self.of(section, key), *asked[1:])
        return self._told[asked]

    def _any(
        self, needs: Iterable[str], section: str, groups: Mapping[str, str]
    ) -> tuple[bool, str]:
        results = [self.holds(one, section, groups) for one in needs]
        if any(truth and not reason for truth, reason in results):
            return True, ""
        reason = next((reason for _, reason in results if reason), "")
        return any(truth for truth, _ in results), reason

    def _truth(self, found: Sequence[Setting], key: str, sign: str, value: str) -> tuple[bool, str]:
        def test(text: str) -> bool:
            if not sign:
                return is_set(key, text)
            if value == _ANYTHING:
                return sign == "=="
            return (_bare(text) == _bare(value)) == (sign == "==")

        last = next((s for s in reversed(found) if s.activity is Activity.ACTIVE), None)
        if last is None and _whichever(found):
            answers = {test(text_of(s)) for s in found if s.activity is Activity.POSSIBLE}
            if len(answers) == 1:
                return answers.pop(), ""
        truth = test(text_of(last)) if last else sign == "!="
        after = found[list(found).index(last) + 1 :] if last else found
        for setting in after:
            if setting.activity is Activity.POSSIBLE and test(text_of(setting)) != truth:
                return truth, f"{key} holds only if {setting.condition}"
        if last and last.resolved is None and last.unknown:
            return truth, f"{key}: {last.unknown}"
        if not found and self.evidence and not self.complete:
            return truth, f"{key} is in no file that was sent"
        if key in self.required and not any(s.activity in SEEN for s in found):
            return truth, f"no file that was sent sets {key}"
        return truth, ""


def _whichever(found: Iterable[Setting]) -> bool:
    """Return whether two of the settings stand in opposite branches, so that one of them counts."""
    conditions = {s.condition for s in found if s.activity is Activity.POSSIBLE}
    return any((f"!{c}" if _ATOM.fullmatch(c) else f"!({c})") in conditions for c in conditions)


def all_hold(
    shown: Shown, needs: Iterable[str], section: str, groups: Mapping[str, str]
) -> tuple[bool, str]:
    """Return whether all conditions hold; one that surely fails outweighs every doubt."""
    results = [shown.holds(need, section, groups) for need in needs]
    if any(not truth and not reason for truth, reason in results):
        return False, ""
    reason = next((reason for _, reason in results if reason), "")
    return (True, reason) if reason else (all(truth for truth, _ in results), "")

"""Whether a reference proves its worth: spoil or remove any line of it, and something must show.

What a check writes itself and does not miss when it is wrong is green that was not earned.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import Literal

from attrs import evolve

from pincheck.check import check
from pincheck.claims import Vocabulary, vocabulary
from pincheck.intake.machines import read
from pincheck.maker.choices import TURNS, YOURS, is_yours
from pincheck.maker.reference import Reference
from pincheck.model.claim import Claim, PinValue
from pincheck.model.finding import Result
from pincheck.model.frozen import frozen
from pincheck.model.problem import UnreadableError
from pincheck.model.setting import Activity, Setting
from pincheck.model.source import Source

Seen = Literal["found", "elsewhere", "not checked", "the same", "yours", "unseen"]
"""What came of a spoilt line: a finding that names it, one of another line alone, only "not
checked"; or nothing, for the firmware comes to believe the same, or for the value is the user's
own choice within what the parts stand, or for no good reason."""

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:[eE]-?\d+)?")
_PIN = re.compile(r"([\^~!]*)([^\^~!].*)")
_OPPOSITE = {"true": "false", "false": "true", "True": "False", "False": "True"} | {
    "HIGH": "LOW",
    "LOW": "HIGH",
}
_FACTORS = (("half", 0.5), ("double", 2.0), ("ten times", 10.0))


@frozen
class Spoilt:
    """One line with one thing wrong: `new` is its value then, None where the line is gone."""

    setting: Setting
    how: str
    new: str | None
    seen: Seen


@frozen
class Proof:
    """Every line of a reference spoilt in every way that is tried."""

    reference: Reference
    spoilt: tuple[Spoilt, ...]

    @cached_property
    def counts(self) -> Mapping[str, int]:
        """How many spoilt lines came to what."""
        return Counter(one.seen for one in self.spoilt)

    @property
    def unseen(self) -> tuple[Spoilt, ...]:
        """Those that show nowhere and should."""
        return tuple(one for one in self.spoilt if one.seen == "unseen")


def proof(made: Reference, words: Vocabulary | None = None, every: int = 1) -> Proof:
    """Spoil a reference, only each `every`-th time where that is greater than 1."""
    settings = [
        it for it in read(made.machine).settings if it.key and it.activity is Activity.ACTIVE
    ]
    pins = tuple(dict.fromkeys(_pins(made.result)))
    tried = [(it, *way) for it in settings for way in (("removed", None), *_ways(it.value, pins))]
    return Proof(
        made,
        tuple(Spoilt(it, how, new, _seen(made, it, new, words)) for it, how, new in tried[::every]),
    )


def _pins(result: Result) -> Iterator[str]:
    """Yield every pin as the reference writes it, without its signs."""
    for claim in result.claims.all:
        if not isinstance(claim.value, PinValue) or claim.value.virtual or not claim.setting:
            continue
        if found := _PIN.fullmatch(claim.setting.value.strip('"')):
            yield found[2]


def _ways(value: str, pins: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    quote, bare = '"' * value.startswith('"'), value.strip('"')
    if bare in _OPPOSITE:
        yield "turned over", _OPPOSITE[bare]
    elif _NUMBER.fullmatch(bare):
        number = float(bare)
        for how, factor in _FACTORS:
            changed = number * factor
            whole = number.is_integer() and "." not in bare
            if changed != number:
                yield how, f"{round(changed) if whole else changed:g}"
    elif (found := _PIN.fullmatch(bare)) and found[2] in pins:
        signs, pin = found.groups()
        at = pins.index(pin)
        yield "another pin", f"{quote}{signs}{pins[at - 1]}{quote}"
        yield "inversion", f"{quote}{_turned(bare)}{quote}"
        if "^" in bare:
            yield "lost pull", f"{quote}{bare.replace('^', '')}{quote}"
    elif bare:
        yield "other name", f"{quote}{bare}x{quote}"


def _turned(pin: str) -> str:
    return pin.replace("!", "") if "!" in pin else f"!{pin}"


def _seen(made: Reference, setting: Setting, new: str | None, words: Vocabulary | None) -> Seen:
    text = setting.source.text
    if new is None:
        whole = text[setting.start : setting.end]
        changed = text[: setting.start] + " " * len(whole) + text[setting.end :]
    else:
        changed = text[: setting.value_start] + new + text[setting.value_end :]
    name = setting.source.name
    sources = tuple(
        Source.of_text(name, changed) if source.name == name else source
        for source in made.machine.sources
    )
    spoilt = evolve(made.machine, sources=sources, main=sources[0])
    try:
        result = check(read(spoilt), made.result.assembly, words)
    except UnreadableError:
        return "found"
    before = {(it.rule, it.spots) for it in made.result.findings}
    if told := [it for it in result.findings if (it.rule, it.spots) not in before]:
        line = setting.span.line
        places = [c.span for finding in told for c in finding.claims if c.span]
        at_line = any((span.source, span.line) == (name, line) for span in places)
        return "found" if at_line or new is None else "elsewhere"
    if _open(result) - _open(made.result) or result.problems:
        return "not checked"
    said = [claim for claim in made.result.claims.all if _says(claim, setting)]
    words = words or vocabulary(made.style)
    if new is None and _still_agree(made.result, result, said or _described(made, words, setting)):
        return "the same"
    # What stands for a whole line's letters is the claim of one of them, or of another line.
    chooses = setting.section.endswith(f" {setting.key}{setting.value}")
    default = chooses or (
        new is None
        and (
            any(_on_its_line(claim, setting) for claim in made.result.claims.all)
            or _links(words, setting)
        )
    )
    if (said or default) and _believed(result) == _believed(made.result):
        return "the same"
    turned = setting.key == TURNS and new == _turned(setting.value)
    of_words = is_yours(words, setting.section, setting.key)
    yours = all(claim.attribute in YOURS for claim in said) if said else of_words
    return "yours" if yours or turned else "unseen"


def _still_agree(before: Result, after: Result, said: Iterable[Claim]) -> bool:
    """Return whether what the firmware takes without a line is judged and agrees."""
    was, now = (
        {(it.role, it.attribute) for it in result.verdicts if it.state == "agrees"}
        for result in (before, after)
    )
    judged = {(claim.role, claim.attribute) for claim in said} & was
    return bool(judged) and judged <= now


def _described(made: Reference, words: Vocabulary, setting: Setting) -> Iterator[Claim]:
    """Yield the tables of a line of which a setting gives a figure."""
    if any(entry.figure for entry, _ in words.match(setting.section, setting.key)):
        yield from (
            claim
            for claim in made.result.claims.all
            if claim.attribute == "table" and _on_its_line(claim, setting)
        )


def _links(words: Vocabulary, setting: Setting) -> bool:
    """Return whether a setting only says what belongs together."""
    return any(entry.link for entry, _ in words.match(setting.section, setting.key))


def _says(claim: Claim, setting: Setting) -> bool:
    return claim.setting is not None and claim.setting.span == setting.span


def _on_its_line(claim: Claim, setting: Setting) -> bool:
    if claim.setting is None:
        return False
    mine, its = setting.span, claim.setting.span
    return (mine.source, mine.line) == (its.source, its.line)


def _open(result: Result) -> set[tuple[str, str]]:
    return {(it.role, it.attribute) for it in result.verdicts if it.state == "not checked"}


def _believed(result: Result) -> set[tuple[str, str, str]]:
    return {(it.role, it.attribute, str(it.value)) for it in result.claims.all}

"""Findings to proposals: their changes spelt and placed in the user's own files."""

from pincheck.analysis.roles import name
from pincheck.claims import Vocabulary, vocabulary
from pincheck.claims.interpretation import Interpretation
from pincheck.edits.weakening import weakening
from pincheck.edits.withheld import withheld
from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.finding import Finding, Proposal, Result
from pincheck.model.setting import Setting
from pincheck.respell.lines import edits
from pincheck.respell.steps import steps_in
from pincheck.styles import Style
from pincheck.styles.step import Add, CannotSpellError, Disable, Enable, Replace, Retire, Step

_NO_EDIT = "Change the wiring or the part: no edit of a file can mend this."


def propose(result: Result, words: Vocabulary | None = None) -> tuple[Proposal, ...]:
    """Return a proposal for every finding, in the order of the findings."""
    reading = result.reading
    machine = Interpretation(reading, result.assembly, words or vocabulary(reading.style))
    return tuple(_proposal(finding, machine) for finding in result.findings)


def _proposal(finding: Finding, machine: Interpretation) -> Proposal:
    if not finding.changes:
        return Proposal(finding, blocked=finding.advice or _NO_EDIT)
    try:
        made = steps_in(machine, finding.changes)
        for reason in withheld(made, finding, machine):
            raise CannotSpellError(reason)
        placed = tuple(edits(made, machine.reading))
    except CannotSpellError as error:
        return Proposal(finding, blocked=f"{_sentence(str(error))} {_by_hand(finding)}")
    weaker = dict.fromkeys(filter(None, map(weakening, finding.changes)))
    note = "; ".join((*weaker, *(_words(step, machine.style) for step in made)))
    return Proposal(finding, placed, note, safe=not weaker)


def _sentence(reason: str) -> str:
    return f"{reason[:1].upper()}{reason[1:].rstrip('.')}."


def _by_hand(finding: Finding) -> str:
    """Return what a person can do where the user's files have no way to say it."""
    change = finding.changes[0]
    value = getattr(change.value, "written", change.value)
    shown = f"{value:g}" if isinstance(value, float) else value
    if isinstance(value, bool):
        shown = "yes" if value else "no"
    what = f"{ATTRIBUTES[change.attribute].words} of the {name(change.role)}"
    return finding.advice or f"Change the wiring, or set it by hand: {what} should be {shown}."


def _words(step: Step, style: Style) -> str:
    match step:
        case Replace(setting, text):
            old = setting.value or "no value"
            return f"{_place(setting)} {setting.key}: {old} becomes {text}"
        case Enable(setting, text) if style.creates(setting.section):
            changed = f", with {setting.key}{text}" if text != setting.value else ""
            return f"{_place(setting)} {setting.section} is switched on{changed}"
        case Enable(setting, text):
            return f"{_place(setting)} {setting.key} is switched on: {text}".rstrip(": ")
        case Disable(setting):
            return f"{_place(setting)} {setting.key} is commented out"
        case Retire(setting):
            what = setting.key if style.key_a_line else setting.section
            return f"{_place(setting)} {what} is commented out: it has no effect"
        case Add():
            return style.told(step)


def _place(setting: Setting) -> str:
    span = setting.span
    return f"{span.source}:{span.line}"

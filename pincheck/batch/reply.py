"""A reply to a customer, drafted in plain words from the findings: no markup, one caution."""

from collections.abc import Iterable, Iterator, Sequence

from pincheck.analysis.stamp import origins
from pincheck.model.finding import Finding, Proposal, Result, Severity
from pincheck.model.printable import printable
from pincheck.reports import sentences
from pincheck.reports.text import wrap

_LEAD = {
    Severity.DANGER: "Dangerous",
    Severity.FAULT: "Will not work",
    Severity.ADVICE: "Could be better",
}
_REASONS = 6


def lines(
    result: Result,
    proposals: Sequence[Proposal] = (),
    applied: Sequence[Proposal] = (),
    diff: Iterable[str] = (),
) -> Iterator[str]:
    """Yield the lines of the reply; `diff` shows what the `applied` ones of `proposals` change."""
    yield from _opening(result)
    edited = [proposal.finding for proposal in applied]
    blocked = {id(proposal.finding): proposal.blocked for proposal in proposals}
    for heading, numbered in sentences.by_moment(enumerate(result.findings, 1)):
        yield from ("", heading)
        for number, finding in numbered:
            yield ""
            yield from _point(number, finding)
            if finding in edited:
                yield from wrap("To do: make the change shown below.", "   ")
            elif why := blocked.get(id(finding)):
                yield from wrap(f"No change is suggested here: {why}.", "   ")
    if edited:
        numbers = [str(n) for n, finding in enumerate(result.findings, 1) if finding in edited]
        yield ""
        yield from wrap(
            f"These changes to your files put right what stands under {_and(numbers)}. A line "
            "that begins with - goes, one that begins with + comes in its place:"
        )
        yield ""
        yield from diff
    yield from _open_questions(result)
    cautions = sentences.cautions(result) or sentences.CAUTIONS[:1]
    yield ""
    yield from wrap(" ".join(cautions))


def could_not_check(reason: str) -> Iterator[str]:
    """Yield the lines of the reply where nothing could be checked."""
    yield "Thank you for sending your configuration."
    yield ""
    yield from wrap("It could not be checked, so nothing is said here about your machine:")
    yield from wrap(reason, "  ")
    yield ""
    yield from wrap(
        "Please send the configuration again as your machine uses it: all of its files, in one "
        "folder or archive, and say which board with which revision is fitted."
    )
    yield ""
    yield from wrap(sentences.CAUTIONS[0])


def _opening(result: Result) -> Iterator[str]:
    yield "Thank you for sending your configuration."
    yield ""
    yield from wrap(
        f"It was compared with the wiring of {result.machine}. {sentences.headline(result)}"
    )
    for origin in origins(result):
        yield from ("", *wrap(origin))
    if slip := sentences.slip(result):
        yield from ("", *wrap(slip))


def _point(number: int, finding: Finding) -> Iterator[str]:
    yield from _hanging(f"{number}. ", f"{_LEAD[finding.severity]}. {finding.message}")
    places = dict.fromkeys(
        sentences.firmware_line(claim) for claim in finding.claims if claim.setting is not None
    )
    for place in places:
        yield from wrap(f"Your line: {place}", "   ")
    for effect in finding.effects:
        yield from wrap(f"So: {effect.message}", "   ")
    if finding.advice:
        yield from wrap(f"To do: {finding.advice}", "   ")


def _open_questions(result: Result) -> Iterator[str]:
    open_ = set(result.claims.not_sent) - set(result.claims.apart)
    missing = sorted({printable(missing.name) for missing in open_})
    if missing:
        yield ""
        yield from wrap(
            f"Your files ask for others that were not sent: {', '.join(missing[:_REASONS])}. "
            "Please send them too: what they say was not checked."
        )
    by_reason: dict[str, list[str]] = {}
    for verdict in result.verdicts:
        if verdict.state == "not checked":
            spot = f"{verdict.role} {verdict.attribute}"
            by_reason.setdefault(verdict.reason, []).append(spot)
    if by_reason:
        yield ""
        yield "Not checked:"
    for reason, spots in list(by_reason.items())[:_REASONS]:
        yield from _hanging("  ", f"{', '.join(spots)}: {reason}")
    if len(by_reason) > _REASONS:
        yield f"  and more, for {len(by_reason) - _REASONS} other reasons"


def _hanging(mark: str, sentence: str) -> Iterator[str]:
    first, *rest = wrap(sentence, " " * len(mark))
    yield mark + first[len(mark) :]
    yield from rest


def _and(numbers: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(numbers[:-1]), numbers[-1])))

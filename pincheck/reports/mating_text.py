"""Wrong matings and what they do, as text."""

from collections.abc import Iterator

from pincheck.analysis.mating.harm import MatingHarm
from pincheck.analysis.mating.prevention import prevention
from pincheck.analysis.mating.survey import Survey
from pincheck.model.finding import Severity
from pincheck.model.wiring import Assembly
from pincheck.reports import sentences
from pincheck.reports.text import labelled, wrap
from pincheck.wiring.plugs import Mating

_SHOWN = 4
"""Harms shown of one mating, unless all are asked for."""


def lines(assembly: Assembly, survey: Survey, whole: bool = False) -> Iterator[str]:
    """Yield the report: what nothing prevents, worst first, then what a key or wall prevents.

    With `whole` every harm is shown, of prevented matings too.
    """
    possible = [it for it in survey.found if not it.prevented]
    prevented = [it for it in survey.found if it.prevented]
    yield from wrap(f"{assembly.name}: {headline(survey)}")
    quiet = [it for it in possible if not it.harms and not it.unsolved]
    for number, it in enumerate((it for it in possible if it not in quiet), 1):
        yield from ("", *_one(assembly, it, f"{number}. ", whole))
    if quiet:
        names = ", ".join(named(it.mating) for it in quiet)
        yield from ("", *wrap(f"Without consequence: {names}."))
    if prevented:
        yield from ("", "Prevented, and what it would do:")
    for it in prevented:
        if whole:
            yield from ("", *_one(assembly, it, "", whole))
        elif it.dangerous:
            by = " and ".join(it.mating.prevented_by)
            yield from wrap(f"{named(it.mating)} ({by}): {it.harms[0].text}", "  ")
    if survey.left_out:
        yield ""
        yield from wrap(f"{survey.left_out} more matings than are solved at once were left out.")
    yield from ("", *wrap(sentences.CAUTIONS[0]))


def headline(survey: Survey) -> str:
    """Return in one sentence how many plugs can go on wrong, and how many of them do harm."""
    possible = sum(not it.prevented for it in survey.found)
    bad = len(survey.dangerous)
    unsolved = sum(bool(it.unsolved) for it in survey.found)
    harm = (
        f"{bad} of them can burn or destroy something" if bad else "none of them destroys a thing"
    )
    first = f"nothing prevents {sentences.plural(possible, 'wrong mating')}, {harm}"
    open_ = f"; {unsolved} could not be worked out" if unsolved else ""
    return f"{first}; {len(survey.found) - possible} are prevented{open_}."


def named(mating: Mating) -> str:
    """Return a mating as "board.connector turned round"."""
    return f"{'.'.join(mating.connector)} {mating.how}"


def _one(assembly: Assembly, it: MatingHarm, number: str, whole: bool) -> Iterator[str]:
    mark = sentences.MARKS[Severity.DANGER if it.dangerous else Severity.ADVICE]
    yield from wrap(f"{number}{mark} {named(it.mating)}")
    if also := [mating for mating in it.same if it.prevented or not mating.prevented_by]:
        yield from labelled("also", ", ".join(map(named, also)))
    if it.unsolved:
        yield from labelled("not known", it.unsolved)
    shown = it.harms if whole else it.harms[:_SHOWN]
    for harm in shown:
        by = f" (by {'; '.join(harm.pins)})" if harm.pins else ""
        yield from labelled(harm.kind, f"{harm.text}{by}")
    if len(it.harms) > len(shown):
        rest = ", ".join(dict.fromkeys(harm.about for harm in it.harms[len(shown) :]))
        yield from labelled("and", rest)
    if it.mating.prevented_by:
        yield from labelled("prevented", f"by {' and '.join(it.mating.prevented_by)}")
    elif it.harms:
        yield from labelled("prevent", f"with {prevention(assembly, it.mating)}")

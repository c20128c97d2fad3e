"""A release check as text, 80 columns wide: the matrix, then what is behind each cell."""

from collections.abc import Iterator

from pincheck.maker import proof_text
from pincheck.maker.release import Release, WiringCell
from pincheck.maker.release_cell import MatrixCell
from pincheck.model.finding import Finding
from pincheck.model.printable import printable
from pincheck.model.setting import STYLES
from pincheck.reports.sentences import headline, plural
from pincheck.reports.text import (
    finding_lines,
    findings_lines,
    problem_lines,
    unchecked_lines,
    wrap,
)

_NAME, _CELL = 28, 13


def lines(release: Release) -> Iterator[str]:
    """Yield the matrix, the reasons, and which reference fits which other assembly."""
    yield from _row("assembly", ("wiring", *STYLES))
    wiring = {it.assembly: it for it in release.wiring}
    for name in release.assemblies:
        yield from _row(name, (_wiring_word(wiring[name]), *map(_word, release.of(name))))
    for copper in release.wiring:
        yield from _copper(copper)
    for cell in release.cells:
        if cell.state != "agrees" and cell.consent is None:
            yield ""
            yield from _behind(cell)
    yield from _unchecked(release)
    for cell in release.cells:
        if cell.proof:
            yield from ("", *wrap(f"{cell.assembly}, every line spoilt in turn:"))
            yield from proof_text.lines(cell.proof)
    if release.consents:
        yield from ("", "Let go by the release file:")
    for consent in release.consents:
        yield from wrap(f"{consent.assembly}: {consent}", "  ")
    for problem in release.problems:
        yield ""
        yield from problem_lines(problem)
    if release.unused:
        yield ""
    for name in release.unused:
        yield from wrap(f"{name}: no assembly uses this board.")
    yield from _fits(release)
    yield ""
    wrong = release.troubles
    yield "The release agrees." if not wrong else f"The release fails: {plural(wrong, 'trouble')}."


def _row(name: str, cells: tuple[str, ...]) -> Iterator[str]:
    shown = printable(name)
    if len(shown) >= _NAME:
        yield from wrap(shown)
        shown = ""
    yield f"{shown:<{_NAME}}{''.join(f'{cell:<{_CELL}}' for cell in cells)}".rstrip()


def _worst(findings: tuple[Finding, ...]) -> str:
    return f"{len(findings)} ({max(it.severity for it in findings).word.upper()})"


def _wiring_word(copper: WiringCell) -> str:
    if copper.open:
        return _worst(copper.open)
    return "let go" if copper.let_go else "agrees"


def _word(cell: MatrixCell) -> str:
    if cell.state == "findings" and cell.result:
        return _worst(cell.result.findings)
    if cell.proof and cell.proof.unseen:
        return f"{len(cell.proof.unseen)} unseen"
    return "let go" if cell.consent else cell.state


def _copper(copper: WiringCell) -> Iterator[str]:
    if copper.open:
        yield from ("", *wrap(f"{copper.assembly}, wiring, whatever a configuration says:"))
    for number, finding in enumerate(copper.open, 1):
        yield from finding_lines(finding, number)
    if copper.danger:
        yield from ("", *wrap(f"{copper.assembly}: {copper.danger}"))


def _behind(cell: MatrixCell) -> Iterator[str]:
    shown = headline(cell.result) if cell.state == "findings" and cell.result else ""
    reason = ". ".join(filter(None, (cell.reason, shown)))
    yield from wrap(f"{cell.assembly}, {cell.style} style: {cell.state}: {reason}")
    yield from findings_lines(enumerate(cell.result.findings if cell.result else (), 1))


def _unchecked(release: Release) -> Iterator[str]:
    """Yield what agreeing references leave unchecked, what several of them do once."""
    told: dict[tuple[str, ...], list[str]] = {}
    for cell in release.cells:
        if cell.state != "findings" and cell.result and (left := (*unchecked_lines(cell.result),)):
            told.setdefault(left, []).append(f"{cell.assembly} ({cell.style})")
    for left, of in told.items():
        yield from ("", *wrap(f"Not checked of {', '.join(of)}:"), *left)


def _fits(release: Release) -> Iterator[str]:
    also: dict[str, list[str]] = {}
    for it in release.across:
        if it.fits:
            also.setdefault(f"{it.assembly} ({it.style})", []).append(it.on)
    if release.across:
        none = "" if also else " none"
        yield from ("", f"References that fit another assembly as they are:{none}")
    for name, others in also.items():
        yield from wrap(f"{name}: {', '.join(others)}", "  ")

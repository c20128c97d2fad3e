"""A release check as text, 80 columns wide: the matrix, then what is behind each cell."""

from collections.abc import Iterator

from pincheck.maker.release import MatrixCell, Release
from pincheck.model.printable import printable
from pincheck.model.setting import STYLES
from pincheck.reports.sentences import headline, plural
from pincheck.reports.text import finding_lines, problem_lines, unchecked_lines, wrap

_NAME, _CELL = 32, 16


def lines(release: Release) -> Iterator[str]:
    """Yield the matrix, the reasons, and which reference fits which other assembly."""
    yield from _row("assembly", tuple(STYLES))
    for name in release.assemblies:
        yield from _row(name, tuple(_word(cell) for cell in release.of(name)))
    for cell in release.cells:
        if cell.state != "agrees":
            yield ""
            yield from _behind(cell)
        elif cell.result and (unchecked := tuple(unchecked_lines(cell.result))):
            yield ""
            yield from wrap(f"{cell.assembly}, {cell.style} style: agrees, not checked:")
            yield from unchecked
    for problem in release.problems:
        yield ""
        yield from problem_lines(problem)
    if release.unused:
        yield ""
    for name in release.unused:
        yield from wrap(f"{name}: no assembly uses this board.")
    if release.across:
        yield ""
        yield "The reference of one assembly on another:"
    for other in release.across:
        counts = f"{plural(other.findings, 'finding')}, {other.open} more not checked"
        word = "fits as it is" if other.fits else counts
        yield from wrap(f"{other.assembly}, {other.style} style, on {other.on}: {word}", "  ")
    yield ""
    wrong = release.troubles
    yield "The release agrees." if not wrong else f"The release fails: {plural(wrong, 'trouble')}."


def _row(name: str, cells: tuple[str, ...]) -> Iterator[str]:
    shown = printable(name)
    if len(shown) >= _NAME:
        yield from wrap(shown)
        shown = ""
    yield f"{shown:<{_NAME}}{''.join(f'{cell:<{_CELL}}' for cell in cells)}".rstrip()


def _word(cell: MatrixCell) -> str:
    if cell.state == "findings" and cell.result:
        worst = max(finding.severity for finding in cell.result.findings)
        return f"{len(cell.result.findings)} ({worst.word.upper()})"
    return cell.state


def _behind(cell: MatrixCell) -> Iterator[str]:
    reason = cell.reason or (headline(cell.result) if cell.result else "")
    yield from wrap(f"{cell.assembly}, {cell.style} style: {cell.state}: {reason}")
    for number, finding in enumerate(cell.result.findings if cell.result else (), 1):
        yield from finding_lines(finding, number)

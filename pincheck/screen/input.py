"""What was read: style, files, trouble with them, what was not sent, cautions."""

from collections.abc import Iterator

from pincheck.model.printable import printable
from pincheck.model.problem import Problem
from pincheck.reports import sentences
from pincheck.reports.text import missing
from pincheck.screen.base_screen import BaseScreen
from pincheck.screen.engine import Checked
from pincheck.screen.page import PageLine, TextRun, heading, labelled, paragraph, text


class InputScreen(BaseScreen):
    """Files, their trouble, what was not sent, cautions."""

    HERE = "input"
    HINTS = ("up/down read", "Esc back", "? keys")

    def draw(self) -> None:
        """Show where the answer comes from."""
        if checked := self.session.checked:
            self.view("page").show(lambda width: input_page(checked, width))


def input_page(checked: Checked, width: int) -> Iterator[PageLine]:
    """Yield where the answer comes from and what is missing from it."""
    machine, result = checked.machine, checked.result
    yield text(f" {sentences.tally(result)}", "strong")
    if result.problems:
        yield from heading("Trouble reading the files")
        for problem in result.problems:
            yield from _problem(problem, width)
    if lacking := tuple(missing(result)):
        yield from heading("Asked for by the configuration and not sent")
        for line in lacking:
            yield from paragraph(line, width)
    if aside := sentences.set_aside(result):
        yield from heading("Set aside")
        yield from paragraph(aside, width)
    # One reason often holds for many verdicts; a line each would bury the others.
    by_reason: dict[str, list[str]] = {}
    for verdict in result.verdicts:
        if verdict.state == "not checked":
            by_reason.setdefault(verdict.reason, []).append(f"{verdict.role} {verdict.attribute}")
    if by_reason:
        yield from heading("Not checked")
        for reason, spots in by_reason.items():
            yield from paragraph(f"? {', '.join(spots)}: {reason}", width)
    yield from heading("Configuration")
    yield from labelled("taken as", machine.reason, width)
    for source in machine.sources:
        yield from labelled("file", source.name, width)
    yield from heading("Wiring")
    for source in checked.assembly.sources:
        yield from labelled("file", source.name, width)
    for mark in checked.assembly.unverified:
        yield from labelled("draft", f"{mark} is still to be verified", width, "fault")
    if result.plug_danger:
        yield from heading("Plugs")
        yield from paragraph(result.plug_danger, width)
    if cautions := sentences.cautions(result):
        yield from heading("Cautions")
        for caution in cautions:
            yield from paragraph(caution, width)


def _problem(problem: Problem, width: int) -> Iterator[PageLine]:
    """Yield one problem and the line that it is about, a mark under the place."""
    yield from paragraph(f"! {problem}", width, tone="fault")
    if problem.span and problem.text:
        room = max(width - 8, 20)
        start = max(0, problem.span.column - room // 2)
        before = printable(problem.text[start : problem.span.column - 1])
        yield (TextRun("     "), TextRun(printable(problem.text[start : start + room])[:room]))
        yield (TextRun("     " + " " * len(before)), TextRun("^", "fault"))

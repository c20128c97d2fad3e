"""The sentences and marks that every report and the screen share."""

from collections.abc import Iterable, Iterator
from itertools import groupby

from pincheck.model.attribute import ATTRIBUTES, Column
from pincheck.model.claim import Claim, PinValue, SensorValue, Value
from pincheck.model.finding import Finding, Number, Result, Severity, Verdict
from pincheck.model.printable import printable

CAUTIONS = (
    "Agreement on paper is no proof. Power off and unplug before you measure or re-plug, and "
    "stay with the machine for its first heat.",
    "Mains wiring belongs to licensed practice under local codes.",
)
"""General safety, then what is added where mains is involved."""

_TOLD = 3
"""How many roles a headline names."""

MARKS = {Severity.DANGER: "!!", Severity.FAULT: "!", Severity.ADVICE: "~"}
"""A mark beside each severity's word, so that colour never carries the meaning alone."""


def plural(count: int, one: str, many: str = "") -> str:
    """Return "1 danger", "2 dangers"."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def headline(result: Result) -> str:
    """Return the answer to "may I switch on?" in one line."""
    dangers, faults = result.count(Severity.DANGER), result.count(Severity.FAULT)
    advice = result.count(Severity.ADVICE)
    unchecked = result.tally("not checked")
    counts = [
        text
        for count, text in (
            (dangers, plural(dangers, "danger")),
            (faults, plural(faults, "fault")),
            (advice, f"{advice} advice"),
            (unchecked, f"{plural(unchecked, 'thing')} not checked"),
        )
        if count
    ]
    if dangers:
        lead = "Do not power on"
    elif faults:
        lead = "Not ready for power"
    elif not result.tally("agrees"):
        lead = "Nothing could be compared"
    elif result.unjudged:
        lead = f"No contradiction found, but not judged: {_listed(result.unjudged)}"
    elif unchecked:
        lead = "No contradiction found, but not all was checked"
    else:
        lead = "Configuration and wiring agree"
    told = ", ".join(counts)
    if result.unjudged and not (dangers or faults):
        return f"{lead} ({told})."
    return f"{lead}: {told}." if counts else f"{lead}."


def by_moment(
    numbered: Iterable[tuple[int, Finding]],
) -> Iterator[tuple[str, tuple[tuple[int, Finding], ...]]]:
    """Yield a heading for each moment at which any strikes, and those with their numbers."""
    for when, of in groupby(numbered, key=lambda pair: pair[1].when):
        yield f"{when.words.capitalize()}:", tuple(of)


def slip(result: Result) -> str:
    """Return what one change of the wiring would mend, with the findings' numbers; else empty."""
    found = result.slip
    if found is None:
        return ""
    numbers = [n for n, finding in enumerate(result.findings, 1) if finding in found.removes]
    count = (
        f"all {found.among}"
        if len(numbers) == found.among
        else f"{len(numbers)} of the {found.among}"
    )
    count = "the only" if found.among == 1 else count
    what = "finding" if found.among == 1 else "findings"
    hidden = f" {found.hidden} that it hides then show." if found.hidden else ""
    return (
        f"Look at this first: {found.message}: {found.mend} removes {count} {what} of pins and "
        f"copper ({', '.join(map(str, numbers))}).{hidden}"
    )


def _listed(verdicts: tuple[Verdict, ...]) -> str:
    """Return the spots by role, those of the first roles and how many more there are."""
    by_role: dict[str, list[str]] = {}
    for verdict in verdicts:
        by_role.setdefault(verdict.role, []).append(ATTRIBUTES[verdict.attribute].words)
    told = [f"{', '.join(of)} of {role}" for role, of in by_role.items()]
    more = [f"{len(told) - _TOLD} more"] if len(told) > _TOLD else []
    return "; ".join([*told[:_TOLD], *more])


def tally(result: Result) -> str:
    """Return the count of verdicts in one line."""
    agree, contradict = result.tally("agrees"), result.tally("contradicts")
    unchecked = result.tally("not checked")
    so_far = sum(verdict.so_far for verdict in result.verdicts)
    return (
        f"{plural(agree + contradict + unchecked, 'verdict')}: {agree} agree, "
        f"{contradict} contradict, {unchecked} not checked"
        f"{f' ({so_far} of them agree so far)' if so_far else ''}."
    )


def set_aside(result: Result) -> str:
    """Return which files, not sent, were taken to say nothing of the wiring; empty for none."""
    names = sorted({missing.name for missing in result.claims.apart})
    if not names:
        return ""
    return (
        f"Not sent, and by name not about the wiring: {', '.join(names)}. Anything in there that "
        f"sets up a heater, fan, sensor or probe was not seen."
    )


def cautions(result: Result) -> tuple[str, ...]:
    """Return the cautions that belong under this result."""
    hot = any(role.endswith("heater") for role in result.trace.roles() | result.claims.roles())
    mains = any(wired.part.mains for wired in result.trace.wired) or any(
        board.mains for board in result.assembly.boards.values()
    )
    rails = any(wired.supply_rail for wired in result.trace.wired)
    return CAUTIONS[: 1 + mains] if hot or mains or rails else ()


def cell(verdicts: tuple[Verdict, ...]) -> str:
    """Return the word for a cell of the verdict table: its worst verdict; empty for none."""
    severity = max((v.severity for v in verdicts if v.severity), default=None)
    if severity:
        return severity.word.upper() if severity > Severity.ADVICE else severity.word
    states = {verdict.state for verdict in verdicts}
    if "not checked" in states:
        return "so far" if all(v.so_far or v.state == "agrees" for v in verdicts) else "?"
    return "agrees" if states else ""


def cells(result: Result, role: str) -> dict[Column, tuple[Verdict, ...]]:
    """Return the verdicts of a role by column of the table."""
    found: dict[Column, tuple[Verdict, ...]] = {}
    for verdict in result.verdicts:
        if verdict.role == role:
            column = ATTRIBUTES[verdict.attribute].column
            found[column] = (*found.get(column, ()), verdict)
    return found


def value_text(value: Value) -> str:
    """Return a claim's value for a reader."""
    match value:
        case PinValue(place=place, absent=absent, written=written):
            return str(place) if place else "no pin" if absent else written
        case SensorValue(written=written):
            return written
        case bool():
            return "on" if value else "off"
        case float() | int():
            return digits(value, 4)
    return value


def digits(value: float, count: int) -> str:
    """Return a figure with so many significant digits, none of a whole number taken away."""
    near = float(f"{value:.{count}g}")
    return f"{value:.0f}" if abs(near) >= 10 ** (count - 1) else f"{near:.{count}g}"


def firmware_line(claim: Claim) -> str:
    """Return the user's own line behind a claim, or where its value comes from without one."""
    if claim.setting is None:
        return f"{claim.origin}: {value_text(claim.value)}"
    span = claim.setting.span
    text = claim.setting.source.line(span.line).strip()
    return printable(f"{span.source}:{span.line}  {text}")


def caveats(finding: Finding) -> str:
    """Return which files, not sent, could still say otherwise; empty where none could."""
    return "; ".join(dict.fromkeys(claim.caveat for claim in finding.claims if claim.caveat))


def number_text(number: Number) -> str:
    """Return a figure with its unit, to the digits that its inputs carry: two of a temperature."""
    if number.unit in ("C", "K"):
        shown = digits(round(number.value, 3) + 0.0, 2)  # a rounding error is no kelvin
    else:
        shown = digits(number.value, 3)
    return f"{number.name}: {shown} {number.unit}".rstrip()


def place_of(finding: Finding) -> str:
    """Return where a finding points: file, line, column; empty where nowhere."""
    return str(finding.span) if finding.span else ""

"""What physics makes of each fitted part and supply, whether a rule speaks of it or not."""

from collections.abc import Callable, Iterator, Mapping

from pincheck.analysis import roles
from pincheck.analysis.case import Case, claimed, part_of, value
from pincheck.analysis.currents import Strain
from pincheck.analysis.motor_current import real_current
from pincheck.analysis.pwm_outputs import PwmOutput, outputs
from pincheck.analysis.pwm_steps import most_steps
from pincheck.analysis.supply_load import load_of, rails, rating_a
from pincheck.analysis.tachometer import longest_poll
from pincheck.model.claim import Claim
from pincheck.model.finding import Input, Number, Result
from pincheck.model.path import Wired
from pincheck.model.printable import printable
from pincheck.model.role import order
from pincheck.physics.fan import INRUSH_RATIO
from pincheck.physics.motor import peak_a, winding_loss_w
from pincheck.physics.pwm import software_steps
from pincheck.physics.supply import Load, budget
from pincheck.reports import sentences
from pincheck.reports.figure import FigureLine, against, line, number_lines, ratings
from pincheck.reports.heater_figures import heater
from pincheck.reports.json import SCHEMA_VERSION, Json, number_record, problem_record
from pincheck.reports.sensor_figures import sensor
from pincheck.reports.sentences import digits
from pincheck.reports.text import wrap


def fan(case: Case, wired: Wired) -> Iterator[FigureLine]:
    """Yield a fan's current and inrush, what its way may carry, and its duty steps."""
    part = wired.part
    if part.current_a is None:
        yield FigureLine("not checked", f"part {part.id} gives no current")
    else:
        mates = [m for m in map(case.trace.find, wired.switch_mates) if m]
        known = [w for w in (wired, *mates) if w.part.current_a is not None]
        given = tuple(Input(w.role, w.part.current_a or 0.0, "A", part_of(w)) for w in known)
        own = Number("current", part.current_a, "A", "as rated", given[:1], part.source)
        yield FigureLine("current", f"{digits(part.current_a, 3)} A", (own,))
        total = sum(w.part.current_a or 0.0 for w in known)
        start = sum(
            (w.part.current_a or 0.0) * (w.part.inrush_ratio or INRUSH_RATIO) for w in known
        )
        yield _at_start(total, start, given, len(known))
        yield from ratings(case, wired)
    driven = next((output for output in outputs(case) if output.role == wired.role), None)
    if driven:
        yield from _steps(case, driven)


def tachometer(case: Case, wired: Wired) -> Iterator[FigureLine]:
    """Yield how often a tachometer has to be looked at, and how often it is."""
    longest = longest_poll(wired)
    if isinstance(longest, str):
        yield FigureLine("not checked", longest)
        return
    yield FigureLine(
        "half a pulse lasts", f"{digits(1000 * longest.value, 3)} ms at full speed", (longest,)
    )
    poll = case.known(wired.role, "poll_s")
    if isinstance(poll, Claim):
        given = (claimed(poll),)
        number = Number("time between two looks", value(poll), "s", "as set", given)
        yield FigureLine("looked at", f"every {digits(1000 * value(poll), 3)} ms", (number,))


def _at_start(total_a: float, start_a: float, given: tuple[Input, ...], count: int) -> FigureLine:
    who = f" of {count} on one switch" if count > 1 else ""
    formula = "sum of current x inrush ratio"
    source = "common practice where the part gives no ratio"
    return FigureLine(
        "at the start",
        f"{digits(start_a, 3)} A{who}, then {digits(total_a, 3)} A",
        (
            Number("current at the start", start_a, "A", formula, given, source),
            Number("running current", total_a, "A", "sum of the currents", given, "data sheets"),
        ),
    )


def _steps(case: Case, driven: PwmOutput) -> Iterator[FigureLine]:
    if driven.frequency is None or driven.hz is None:
        return
    given = (claimed(driven.frequency),)
    label = f"duty steps at {driven.hz:g} Hz"
    if driven.software and driven.software.value is True:
        steps = software_steps(driven.hz)
        formula, source = "1 / (frequency x 0.1 ms)", "common practice"
        number = Number("steps", steps, "", formula, given, source)
        said = f"{steps} by software" if steps else "none: faster than software can switch"
        yield FigureLine(label, said, (number,))
    elif driven.hardware and (most := most_steps(case, driven)):
        formula = "highest timer clock / (prescaler x frequency), no more than the counter holds"
        number = Number("steps", most.steps, "", formula, (*given, *most.inputs), most.source)
        yield FigureLine(label, f"at most {most.steps} of {most.timer}", (number,))


def motor(case: Case, wired: Wired) -> Iterator[FigureLine]:
    """Yield a motor's real current against its ratings, and the heat in its windings."""
    claim, sense = (case.known(wired.role, name) for name in ("current_a", "sense_ohm"))
    if not isinstance(claim, Claim):
        yield FigureLine("not checked", claim.reason if claim else "the files set no current")
        return
    number = real_current(wired, claim, sense if isinstance(sense, Claim) else None)
    real, given, driver = number.value, number.inputs, wired.path.driver
    top = peak_a(real)
    numbers = (number, Number("peak current", top, "A", "I x root 2", given, "sine"))
    yield FigureLine("current", f"{digits(real, 3)} A RMS, {digits(top, 3)} A at the peak", numbers)
    for what, may in (("the motor", wired.part.current_a), ("its driver", driver and driver.max_a)):
        if may:
            rated = Strain(what, may, "rating (RMS)", "data sheet of the part or board")
            yield against(rated, real, given)
    for contact in wired.path.contacts:
        if contact.contact_a:
            what = f"a contact of {contact.board}.{contact.connector}"
            rated = Strain(what, contact.contact_a, "contact rating, at the peak", "wiring")
            yield against(rated, top, given)
    if wired.part.phase_ohm:
        loss = winding_loss_w(real, wired.part.phase_ohm)
        ohm = Input("phase", wired.part.phase_ohm, "ohm", part_of(wired))
        number = Number("heat in the windings", loss, "W", "2 I^2 R", (*given, ohm), "Joule's law")
        yield FigureLine("heat in the windings", f"{digits(loss, 2)} W", (number,))


def budgets(case: Case) -> Iterator[FigureLine]:
    """Yield every rail with everything on; what is not counted is said."""
    for (board, net), users in rails(case).items():
        loads = [load_of(case, wired) for wired in users]
        known = [load for load in loads if isinstance(load, Load)]
        total = budget(known, rating_a(users))
        given = tuple(
            Input(f"mean current of {load.name}", load.current_a * load.duty, "A", "its part")
            for load in known
        )
        numbers = (
            Number("mean", total.mean_a, "A", "sum of current x cap", given, "common practice"),
            Number("peak", total.peak_a, "A", "sum of the currents", given, "common practice"),
        )
        text = (
            f"{digits(total.mean_a, 3)} A of {digits(total.supply_a, 3)} A ({total.mean_ratio:.0%})"
        )
        if total.peak_a - total.mean_a >= 0.05:
            text += f", {digits(total.peak_a, 3)} A while all pulses coincide"
        if missing := ", ".join(
            w.role for w, x in zip(users, loads, strict=True) if x not in known
        ):
            text += f"; not counted, for nobody gives its current: {missing}"
        yield FigureLine(f"{board}.{net}", text, numbers)
    if motors := [wired.role for wired in case.fitted("motor")]:
        yield FigureLine(
            "not counted", f"the motors ({', '.join(motors)}) and the boards themselves"
        )


_Figured = Callable[[Case, Wired], Iterator[FigureLine]]

_SECTIONS: Mapping[str, _Figured] = {
    "heater": heater,
    "sensor": sensor,
    "fan": fan,
    "tachometer": tachometer,
    "motor": motor,
}


def figured(case: Case) -> tuple[str, ...]:
    """Return the fitted roles that there are figures of, in table order."""
    found = (w.role for w in case.trace.wired if roles.function(w.role) in _SECTIONS)
    wanted = (
        role
        for role in found
        if roles.function(role) != "sensor" or roles.family(role) in roles.ANALOG
    )
    return tuple(sorted(wanted, key=order))


def lines(result: Result, role: str = "", why: bool = False) -> Iterator[str]:
    """Yield the figures of one role, or of all with the supply budget; `why` derives each.

    Cautions close the report.
    """
    case = Case(result.claims, result.trace, result.assembly)
    yield printable(result.machine)
    for name in [role] if role else figured(case):
        wired = case.trace.find(name)
        if wired is None:
            continue
        yield ""
        yield from wrap(f"{name}: {wired.part.title or wired.part.id}")
        yield from _shown(_SECTIONS[roles.function(name)](case, wired), why)
    if not role:
        yield ""
        yield "supply, with everything on"
        yield from _shown(budgets(case), why)
    if cautions := sentences.cautions(result):
        yield ""
        yield from wrap(" ".join(cautions))


def record(result: Result, role: str = "") -> Json:
    """Return the figures of one role, or of all with the supply budget, as plain JSON values."""
    case = Case(result.claims, result.trace, result.assembly)
    found = (case.trace.find(name) for name in ([role] if role else figured(case)))
    return {
        "schema_version": SCHEMA_VERSION,
        "machine": result.machine,
        "roles": [
            {
                "role": it.role,
                "part": it.part.id,
                "figures": _records(_SECTIONS[roles.function(it.role)](case, it)),
            }
            for it in found
            if it
        ],
        "supply": [] if role else _records(budgets(case)),
        "problems": list(map(problem_record, result.problems)),
        "cautions": list(sentences.cautions(result)),
    }


def _records(rows: Iterator[FigureLine]) -> list[Json]:
    return [
        {"label": it.label, "text": it.text, "numbers": list(map(number_record, it.numbers))}
        for it in _in_bounds(rows)
    ]


def _shown(rows: Iterator[FigureLine], why: bool) -> Iterator[str]:
    for row in _in_bounds(rows):
        yield from line(row)
        if why:
            for number in row.numbers:
                yield from number_lines(number)


def _in_bounds(rows: Iterator[FigureLine]) -> Iterator[FigureLine]:
    try:
        yield from rows
    except ValueError as error:  # a figure of the wiring that no formula holds for
        yield FigureLine("not checked", str(error))

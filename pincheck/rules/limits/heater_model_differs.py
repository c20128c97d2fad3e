"""The firmware's model assumes another heater power.

Firmware that regulates by a model of the hot end reckons with the power of its heater. With a
stronger one than assumed it shoots past the target, with a weaker one it falls short, and its
protection may take either for a fault.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, value
from pincheck.analysis.heater_element import element
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Number, Severity, Unchecked
from pincheck.rules.rule import Outcomes, example, rule

_SAME = 0.15
"""Elements are made within 5 to 10 % (`common practice`)."""


@rule(
    Severity.FAULT,
    source="Ohm's law",
    fires=example(
        "define",
        ("machine.h", "#define PIDTEMP\n//#define MPCTEMP", "#define MPCTEMP"),
        ("machine.h", "MPC_HEATER_POWER { 40.0f }", "MPC_HEATER_POWER { 60.0f }"),
    ),
    quiet=example("define", ("machine.h", "#define PIDTEMP\n//#define MPCTEMP", "#define MPCTEMP")),
)
def heater_model_differs(case: Case) -> Outcomes:
    """Compare the assumed power with what the fitted element makes on its supply."""
    for wired in case.fitted("heater"):
        claim, found = case.known(wired.role, "heater_w"), element(case, wired)
        if isinstance(claim, Unchecked):
            continue
        if isinstance(claim, Claim) and isinstance(found, str):
            yield Unchecked(wired.role, "heater_w", found)
        elif isinstance(claim, Claim) and not isinstance(found, str):
            assumed, real = value(claim), found.volt * found.on_a
            if abs(assumed / real - 1) <= _SAME:
                yield Agreement(wired.role, "heater_w")
                continue
            effect = "shoots past its target" if real > assumed else "falls short of its target"
            yield Finding(
                spots=((wired.role, "heater_w"),),
                message=(
                    f"The firmware reckons with {assumed:.0f} W and the fitted "
                    f"{roles.name(wired.role)} makes {real:.0f} W: it {effect}, and the "
                    f"protection may take that for a fault."
                ),
                claims=(claim,),
                facts=(fact(wired, "heater_w", f"{found.ohm:g} ohm on {found.volt:g} V"),),
                numbers=(
                    Number(
                        "real power",
                        real,
                        "W",
                        "U^2 / R",
                        found.inputs()[:2],
                        "Ohm's law",
                    ),
                ),
                changes=(Change(wired.role, "heater_w", float(round(real)), claim),),
            )

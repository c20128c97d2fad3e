"""The firmware's model assumes another heater power.

Firmware that regulates by a model of the hot end reckons with the power of its heater. With a
stronger one than assumed it shoots past the target, with a weaker one it falls short, and its
protection may take either for a fault. So it does with the heat capacity and loss of another block.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact, value
from pincheck.analysis.heated_block import HEAVIEST, LIGHTEST, usual_for, wild_model
from pincheck.analysis.heater_element import element
from pincheck.analysis.measured_model import MeasuredModel
from pincheck.model.claim import Claim
from pincheck.model.finding import Agreement, Change, Finding, Number, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.model.threshold import Threshold
from pincheck.rules.rule import Outcomes, example, rule

_SAME = Threshold(
    0.15, "share", "heater power of the firmware's model off the fitted one's",
    "common practice: elements are made within 5 to 10 %",
    below="agrees", above="fault: the model drives it too hard or too weakly",
)  # fmt: skip


@rule(
    Severity.FAULT,
    source="Ohm's law",
    causes=("false-trip-at-warm-up", "sensor-out-at-warm-up", "sensor-falls-out-too-hot"),
    fires=example(
        "define",
        ("machine.h", "#define PIDTEMP\n//#define MPCTEMP", "#define MPCTEMP"),
        ("machine.h", "MPC_HEATER_POWER { 40.0f }", "MPC_HEATER_POWER { 60.0f }"),
    ),
    quiet=example("define", ("machine.h", "#define PIDTEMP\n//#define MPCTEMP", "#define MPCTEMP")),
    thresholds=(_SAME, LIGHTEST, HEAVIEST),
)
def heater_model_differs(case: Case) -> Outcomes:
    """Compare the assumed power with what the fitted element makes on its supply."""
    for wired in case.fitted("heater"):
        if wild := wild_model(case, wired.role):
            yield _of_no_block(case, wired, wild)
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


def _of_no_block(case: Case, wired: Wired, wild: MeasuredModel) -> Finding:
    usual, what = usual_for(case, wired.role), roles.heated(wired.role)
    said = [
        f"{wild.figures[name]:.3g} {unit} ({getattr(usual.light, name):.2g} to "
        f"{getattr(usual.heavy, name):.3g} are common)"
        for name, unit in (("heat_capacity_j_k", "J/K"), ("loss_w_k", "W/K"))
    ]
    return Finding(
        spots=((wired.role, wild.claim.attribute),),
        message=(
            f"The firmware's model takes the {what} of the {roles.name(wired.role)} for one of "
            f"{' and '.join(said)}: it was measured with another heater, or mistyped, and "
            f"misjudges what is a fault."
        ),
        claims=(wild.claim,),
        facts=(fact(wired, wild.claim.attribute, wired.part.title or wired.part.id),),
        advice="Let the firmware measure its heater model again, with the parts as they are now.",
    )

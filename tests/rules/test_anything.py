"""Whatever a configuration claims, a rule gives an outcome and never fails."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pincheck.check import judge
from pincheck.model.attribute import ATTRIBUTES
from pincheck.model.claim import PinValue, Place, SensorValue
from pincheck.model.reading import Reading
from pincheck.rules.registry import rules

ASKED = {
    "heater": [
        *("pin", "inverted", "max_c", "min_c", "overshoot_c", "max_power", "protection"),
        *("trip_period_s", "trip_hysteresis_c", "watch_period_s", "watch_increase_c"),
        *("max_error_ks", "protection_kind", "heat_capacity_j_k", "loss_w_k"),
        *("model_rate_k_s", "model_cooling_k_s", "model_cooling_exponent"),
        *("model_gain_k", "model_tau_s", "model_dead_time_s"),
    ],
    "sensor": ["pin", "inverted", "pull", "table", "pullup_ohm", "reference_ohm", "min_c", "max_c"],
    "fan": [
        *("pin", "inverted", "watches", "threshold_c"),
        *("pwm_hz", "software_pwm", "min_duty", "kick_start_s"),
    ],
    "signal": ["pin", "inverted", "pull"],
    "servo": ["pin", "pwm_hz", "software_pwm"],
    "motor": ["pin", "current_a", "sense_ohm"],
    "endstop": ["pin", "homing_pin", "inverted", "pull"],
    "output": ["pin", "inverted", "pwm_hz", "software_pwm"],
}
ROLES = (
    "hotend.heater", "hotend.sensor", "hotend.fan", "hotend1.heater", "part.fan", "part1.fan",
    "bed.heater", "bed.sensor", "probe.signal", "probe.servo", "extruder.motor", "z.endstop",
    "filament.sensor", "aux.output", "aux.fan", "controller.fan", "chamber.sensor",
)  # fmt: skip
PINS = ("PC8", "PA8", "PC5", "PC4", "PB6", "PB7", "PB8", "PB1", "PA1", "PE8", "PB15")

numbers = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True),
    st.floats(-300, 1500),
    st.sampled_from((0.0, 1.0, -1.0, 1e-9, 1e12)),
)
pins = st.one_of(
    st.sampled_from(PINS).map(lambda name: PinValue(name, Place("main", name))),
    st.just(PinValue("x", Place("nowhere", "PA1"))),
    st.just(PinValue("-1", absent=True)),
    st.just(PinValue("probe", virtual=True)),
    st.just(PinValue("?", unknown="nobody knows the name")),
)
sensors = st.one_of(
    st.sampled_from(("1", "5", "11", "12", "66", "998", "1047", "-2", "0", "nonsense")).map(
        lambda text: SensorValue(text, "ntc-100k-b3950")
    ),
    st.tuples(numbers, numbers, numbers).map(
        lambda n: SensorValue("own", figures=(("r25_ohm", n[0]), ("beta_k", n[1]), ("c", n[2])))
    ),
    st.lists(st.tuples(numbers, numbers), max_size=4).map(
        lambda points: SensorValue("own", figures=(("points", tuple(points)),))
    ),
)
values = {
    "pin": pins,
    "sensor": sensors,
    "number": numbers,
    "flag": st.booleans(),
    "word": st.sampled_from(("up", "down", "none", "other", "window", "accumulated", "model")),
    "role": st.sampled_from(("hotend.heater", "bed.heater", "hotend.sensor", "what.ever")),
}


@st.composite
def spots(draw):
    """Return changes to the clean machine, some of them of the wrong type or taken out."""
    changed = {}
    for _ in range(draw(st.integers(1, 12))):
        role = draw(st.sampled_from(ROLES))
        attribute = ATTRIBUTES[draw(st.sampled_from(ASKED[role.partition(".")[2]]))]
        kind = draw(st.sampled_from((attribute.kind,) * 6 + tuple(values)))
        value = draw(st.one_of(st.none(), values[kind], values[kind]))
        changed[role, attribute.name] = value
    return changed


@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(changed=spots(), style=st.sampled_from(("define", "section", "gcode")))
def test_every_rule_copes_and_no_spot_has_two_verdicts(machine, changed, style):
    case = machine(changed, style=style)
    result = judge(case, Reading(style, (), ()), rules())
    found = [(verdict.role, verdict.attribute) for verdict in result.verdicts]
    assert len(found) == len(set(found))
    for finding in result.findings:
        assert finding.message.endswith(".")
        assert all(attribute in ATTRIBUTES for _, attribute in finding.spots)
        assert not any("nan" in number.name for number in finding.numbers)
    raised = [
        change
        for finding in result.findings
        for change in finding.changes
        if change.attribute == "max_c" and change.claim and change.value > change.claim.value
    ]
    assert all(change.weakens for change in raised)

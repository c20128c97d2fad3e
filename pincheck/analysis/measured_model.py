"""The figures of a block that the firmware's own model of it holds."""

from collections.abc import Mapping

from pincheck.analysis import roles
from pincheck.analysis.case import Case, value
from pincheck.analysis.heater_element import element
from pincheck.model.claim import Claim
from pincheck.model.frozen import frozen

_PRINT_K = {"bed": 35.0}
_HOT_PRINT_K = 185.0
"""Rise of an ordinary print above the room: there a bent cooling curve is taken for straight."""

_FIGURES = (
    *("heat_capacity_j_k", "loss_w_k", "blown_loss_w_k", "model_rate_k_s", "model_cooling_k_s"),
    *("model_cooling_exponent", "model_fan_cooling_k_s"),
    *("model_gain_k", "model_tau_s", "model_dead_time_s"),
)
_SHIPPED_BLOCK = 16.7, 0.068
_SHIPPED_RATES: tuple[Mapping[str, float], ...] = (
    {"model_gain_k": 340.0, "model_tau_s": 140.0, "model_dead_time_s": 5.5},
    {"model_gain_k": 90.0, "model_tau_s": 700.0, "model_dead_time_s": 10.0},
    {"model_rate_k_s": 2.43, "model_dead_time_s": 5.5},
    {"model_rate_k_s": 2.429, "model_tau_s": 140.0, "model_dead_time_s": 5.5},
)
"""Constants that configurations are shipped with (from memory): nobody measured this machine's."""


@frozen
class MeasuredModel:
    """Heat capacity and losses by the names of `ThermalBlock`; `claim` is the foremost of them."""

    figures: Mapping[str, float]
    claim: Claim


def measured_model(case: Case, role: str) -> MeasuredModel | None:
    """Return the model of a heater, None where the files hold none that somebody measured.

    A rate at full power R and a loss of power law, K for a rise of 100 K, stand for the capacity
    P / R and the loss C K / 100 (rise / 100)^(E - 1), P of the fitted heater. What the fan adds to
    K counts without E.
    """
    known = ((name, case.known(role, name)) for name in _FIGURES)
    claims = {name: claim for name, claim in known if isinstance(claim, Claim)}
    figures = {name: value(claim) for name, claim in claims.items()}
    capacity, loss = figures.get("heat_capacity_j_k"), figures.get("loss_w_k")
    if capacity and loss and (capacity, loss) != _SHIPPED_BLOCK:
        given = {"heat_capacity_j_k": capacity, "loss_w_k": loss}
        if (blown := figures.get("blown_loss_w_k", 0.0)) > loss:
            given["fan_loss_w_k"] = blown - loss
        return MeasuredModel(given, claims["heat_capacity_j_k"])
    return _of_rates(case, role, claims, figures)


def _of_rates(
    case: Case, role: str, claims: Mapping[str, Claim], figures: Mapping[str, float]
) -> MeasuredModel | None:
    gain, tau = figures.get("model_gain_k"), figures.get("model_tau_s")
    rate = figures.get("model_rate_k_s") or (gain / tau if gain and tau else None)
    cooling, bent = figures.get("model_cooling_k_s"), figures.get("model_cooling_exponent", 1.0)
    if not cooling:
        cooling, bent = 100.0 / tau if tau else None, 1.0
    wired = case.trace.find(role)
    heater = element(case, wired) if wired else ""
    shipped = any(all(figures.get(n) == it for n, it in them.items()) for them in _SHIPPED_RATES)
    if shipped or not rate or not cooling or isinstance(heater, str):
        return None
    rise_k = _PRINT_K.get(roles.family(role).split(".")[0], _HOT_PRINT_K)
    capacity = heater.volt * heater.on_a / rate
    loss = capacity * cooling / 100.0 * (rise_k / 100.0) ** (bent - 1.0)
    first = claims.get("model_rate_k_s") or claims["model_gain_k"]
    measured = {"heat_capacity_j_k": capacity, "loss_w_k": loss}
    if blown := figures.get("model_fan_cooling_k_s"):
        measured["fan_loss_w_k"] = capacity * blown / 100.0
    return MeasuredModel(measured, first)

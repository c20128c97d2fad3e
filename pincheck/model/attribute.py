"""What can be claimed of a role, and the column of the verdict table that shows it."""

from typing import Literal

from pincheck.model.frozen import frozen

ValueKind = Literal["pin", "sensor", "number", "flag", "word", "role"]
Column = Literal["pin", "polarity", "sensor", "limits", "protection", "control", "drive", "rating"]
COLUMNS: tuple[Column, ...] = (
    "pin",
    "polarity",
    "sensor",
    "limits",
    "protection",
    "control",
    "drive",
    "rating",
)


@frozen
class Attribute:
    """One attribute: its name, the kind of its value, its column, its unit and plain words."""

    name: str
    kind: ValueKind
    column: Column
    unit: str
    words: str


_ROWS: tuple[tuple[str, ValueKind, Column, str, str], ...] = (
    ("pin", "pin", "pin", "", "pin"),
    ("homing_pin", "pin", "pin", "", "pin used for homing"),
    ("dir_pin", "pin", "pin", "", "direction pin of the driver"),
    ("enable_pin", "pin", "pin", "", "enabling pin of the driver"),
    ("uart_pin", "pin", "pin", "", "serial line of the driver"),
    ("cs_pin", "pin", "pin", "", "chip select of the driver"),
    ("driver_port", "word", "pin", "", "serial port of the driver"),
    ("driver_address", "number", "pin", "", "address of the driver on its line"),
    ("driver_number", "word", "pin", "", "number of the driver"),
    ("enabled_when", "word", "polarity", "", "level that enables the driver"),
    ("inverted", "flag", "polarity", "", "signal inverted"),
    ("homing_inverted", "flag", "polarity", "", "signal inverted for homing"),
    ("pull", "word", "polarity", "", "pull-up or pull-down of the chip"),
    ("table", "sensor", "sensor", "", "sensor table"),
    ("pullup_ohm", "number", "sensor", "ohm", "pull-up that the firmware assumes"),
    ("series_ohm", "number", "sensor", "ohm", "resistor assumed in line with the sensor"),
    ("reference_ohm", "number", "sensor", "ohm", "reference resistor of the amplifier"),
    ("nominal_ohm", "number", "sensor", "ohm", "platinum sensor's resistance at 0 C"),
    ("thermocouple_type", "word", "sensor", "", "type of thermocouple set"),
    ("max_c", "number", "limits", "C", "highest temperature allowed"),
    ("min_c", "number", "limits", "C", "lowest temperature taken for real"),
    ("overshoot_c", "number", "limits", "K", "margin kept below the maximum"),
    ("min_extrude_c", "number", "limits", "C", "lowest temperature for extruding"),
    ("max_power", "number", "limits", "", "power cap (0 to 1)"),
    ("protection", "flag", "protection", "", "thermal protection"),
    ("protection_kind", "word", "protection", "", "way in which the protection tells a fault"),
    ("trip_period_s", "number", "protection", "s", "time outside the band before the cut"),
    ("trip_hysteresis_c", "number", "protection", "K", "band around the target"),
    ("watch_period_s", "number", "protection", "s", "time allowed for a rise"),
    ("watch_increase_c", "number", "protection", "K", "rise expected in that time"),
    ("max_error_ks", "number", "protection", "K s", "accumulated error before the cut"),
    ("watches", "role", "control", "", "heater that the fan watches"),
    ("regulated_by", "role", "control", "", "sensor that regulates the heater"),
    ("bang_bang", "flag", "control", "", "heater only switched fully on and off"),
    ("heated_by_command", "role", "control", "", "heater that the command sets"),
    ("driven_by_tool", "role", "control", "", "extruder of the tool"),
    ("blown_by_tool", "role", "control", "", "fan that the tool's M106 drives"),
    ("threshold_c", "number", "control", "C", "temperature that starts the fan"),
    ("on_power", "number", "control", "", "fan power when on (0 to 1)"),
    ("on_command", "flag", "control", "", "switched by the fan command"),
    ("servo_number", "number", "control", "", "servo that deploys the probe"),
    ("servo_count", "number", "control", "", "number of servos"),
    ("hotend_count", "number", "control", "", "hot ends that the firmware counts"),
    ("deployed_by", "word", "control", "", "command that deploys the probe"),
    ("stowed_by", "word", "control", "", "command that stows the probe"),
    ("probe_kind", "word", "control", "", "kind of probe"),
    ("homing_end", "word", "control", "", "end that the axis homes to"),
    ("stop_position", "word", "control", "", "position of an end stop that the probe stands for"),
    ("homes_by", "word", "control", "", "what homing waits for"),
    ("driver_kind", "word", "drive", "", "kind of motor driver"),
    ("pwm_hz", "number", "drive", "Hz", "PWM frequency"),
    ("software_pwm", "flag", "drive", "", "PWM made by software"),
    ("min_duty", "number", "drive", "", "lowest duty the fan gets (0 to 1)"),
    ("kick_start_s", "number", "drive", "s", "full power at start"),
    ("pulses", "number", "drive", "pulses", "pulses of one turn"),
    ("poll_s", "number", "drive", "s", "time between two looks at the tachometer"),
    ("supply_v", "number", "rating", "V", "supply voltage"),
    ("sense_ohm", "number", "rating", "ohm", "sense resistor of the motor driver"),
    ("current_a", "number", "rating", "A", "current"),
    ("heater_w", "number", "rating", "W", "heater power that the firmware's model assumes"),
    (
        "heat_capacity_j_k",
        "number",
        "rating",
        "J/K",
        "heat capacity that the firmware's model assumes",
    ),
    ("loss_w_k", "number", "rating", "W/K", "heat loss that the firmware's model assumes"),
    ("blown_loss_w_k", "number", "rating", "W/K", "heat loss in the part fan's air of the model"),
    ("model_rate_k_s", "number", "protection", "K/s", "heating rate of the firmware's model"),
    (
        "model_cooling_k_s",
        "number",
        "protection",
        "K/s",
        "cooling per 100 K of the firmware's model",
    ),
    (
        "model_fan_cooling_k_s",
        "number",
        "rating",
        "K/s",
        "further cooling per 100 K in the part fan's air of the model",
    ),
    (
        "model_cooling_exponent",
        "number",
        "protection",
        "",
        "cooling exponent of the firmware's model",
    ),
    ("model_gain_k", "number", "protection", "K", "rise at full power of the firmware's model"),
    ("model_tau_s", "number", "protection", "s", "time constant of the firmware's model"),
    ("model_dead_time_s", "number", "protection", "s", "dead time of the firmware's model"),
)

ATTRIBUTES: dict[str, Attribute] = {row[0]: Attribute(*row) for row in _ROWS}
"""Every attribute by name; rules and vocabularies may use no other."""

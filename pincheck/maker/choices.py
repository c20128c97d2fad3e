"""What of a reference is the user's own choice within what the parts stand.

A value between what the parts need and what they bear changes nothing that a check could miss. The
reference marks each such line.
"""

from pincheck.claims import Vocabulary

YOURS = frozenset(
    (
        *("max_c", "min_c", "min_extrude_c", "max_power", "overshoot_c"),
        *("trip_period_s", "trip_hysteresis_c", "max_error_ks"),
        *("watch_period_s", "watch_increase_c", "current_a"),
        *("pwm_hz", "poll_s", "min_duty", "kick_start_s", "threshold_c", "on_power"),
        # the wiring does not say at which end a switch sits; the rest of an axis is judged
        "homing_end",
        # too few are a finding, more move nothing, and a probe counts its own without it
        "servo_count",
        # fewer are a finding, and more extruders may feed one hot end
        "hotend_count",
        # whether a clone of the probe reports its pin: the probe tests itself or does not
        "bltouch pin_up_touch_mode_reports_triggered",
        # how often a pin that nobody deploys would be stowed
        "probe deactivate_on_each_sample",
        # off is a finding, and without it nothing builds
        "FIL_RUNOUT_ENABLED_DEFAULT",
        # none is a finding, and further ones have pins of their own
        "NUM_RUNOUT_SENSORS",
        # on for prints from the card, or always: off is a finding
        "M591 S",
        # a print without filament stops unless a line says that it goes on, which is a finding
        *("filament_switch_sensor pause_on_runout", "FIL_RUNOUT_ENABLED_DEFAULT"),
        # names that a part is shown by, and what tunes a control
        *("M308 A", "M106 C", "M563 S", "PIDTEMP"),
    )
)
"""Attributes, and names of settings that claim nothing."""

TURNS = "dir_pin"
"""The key of which the sign is the user's choice: it turns a motor round."""


def is_yours(words: Vocabulary, section: str, key: str) -> bool:
    """Return whether a line says nothing but what is the user's own choice."""
    said = {entry.attribute for entry, _ in words.match(section, key)} - {""}
    return said <= YOURS if said else f"{section.partition(' ')[0]} {key}".strip() in YOURS

"""What of a reference is the user's own choice within what the parts stand.

A value between what the parts need and what they bear changes nothing that a check could miss.
"""

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
        # on for prints from the card, or always: off is a finding
        "M591 S",
        # names that a part is shown by, and what tunes a control
        *("M308 A", "M106 C", "M563 S", "PIDTEMP"),
    )
)
"""Attributes, and names of settings that claim nothing."""

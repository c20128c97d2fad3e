"""Lines that use a pin for something that is no role: a direction, a chip select, a display."""

import re
from collections.abc import Iterator

from pincheck.analysis import roles
from pincheck.analysis.case import Case
from pincheck.analysis.pairings import home, pairings
from pincheck.model.claim import Claim, PinValue, Place
from pincheck.model.frozen import frozen

_DUTIES = tuple(
    (re.compile(form), words)
    for form, words in (
        (r".*\bm950 f\d+ c|.*tach\w*_pin", "a tachometer"),
        (r"m955 .*|.*(_|\b)(cs|ss|chip_select)_pin|(lcd_)?sdss|doglcd_cs", "a chip select"),
        (r"display.*|m918 .*|.*(btn|lcd|encoder)\w*_pins?(_\w+)?|btn_\w+", "the display"),
        (r"gcode_button .*|m950 j\d+ c", "a button or trigger"),
        (r".*(beeper|buzzer).*pin", "a beeper"),
        (r".*(led|neopixel|dotstar|rgb|light).*pins?", "lights"),
        (r".*(_|\b)dir(ection)?_pin", "the direction of a motor"),
        (r".*(_|\b)(enable|ena|en)_pin", "the enabling of a driver"),
        (r".*(_|\b)step_pin", "the steps of a motor"),
        (r".*(_|\b)(uart|tx|rx)_pin", "a serial line"),
        (r".*(_|\b)(sclk|sck|mosi|miso|scl|sda)_pin", "a bus"),
        (r".*(_|\b)diag\w*_pin", "the stall signal of a driver"),
        (r".*(_|\b)(ps_on|psu\w*)_pin", "the power supply"),
    )
)
_READERS = ("probe", "stop", "calibrat", "tool", "diag")
"""Words of lines that may rightly name the pin of an end stop or a probe."""


@frozen
class OtherUser:
    """A line that uses `place`, which is the pin of `roles` by the wiring or by another line.

    `duty` says what it uses the pin for, empty where nobody knows. `claims` are those other lines.
    """

    line: Claim
    place: Place
    duty: str
    roles: tuple[str, ...]
    claims: tuple[Claim, ...]


def other_users(case: Case) -> Iterator[OtherUser]:
    """Yield every line that surely uses the pin of a role.

    Where a role's own line is on the wrong pin, that is told of it and of nothing else; where no
    line is for the part that hangs there, one whose duty nobody knows may be meant for it.
    """
    for line in case.claims.elsewhere:
        pin = line.value
        assert isinstance(pin, PinValue)
        if pin.place is None or line.doubt or line.setting is None:
            continue
        name = f"{line.setting.section} {line.setting.key}".strip().lower()
        duty = next((words for form, words in _DUTIES if form.fullmatch(name)), "")
        claims = tuple(
            p.claim
            for p in pairings(case)
            if case.same(pin.place, p.place) and p.home in (None, p.place)
        )
        there = [w.role for w in case.trace.wired if (at := home(w)) and case.same(pin.place, at)]
        if duty or claims:
            found = dict.fromkeys((*(claim.role for claim in claims), *there))
            met = tuple(role for role in found if not _may_share(role, name))
            if met:
                yield OtherUser(line, pin.place, duty, met, claims)


def _may_share(role: str, name: str) -> bool:
    """Tell whether a line may rightly name a role's pin: another reader of it, a fan beside it."""
    function, key = roles.function(role), name.rpartition(" ")[2]
    if function in ("endstop", "signal"):
        return any(word in name for word in _READERS)
    return (function == "fan" and "fan" in key) or (function == "motor" and "step" in key)

"""What a style's reader makes of the files of one machine."""

from collections.abc import Mapping

from attrs import field

from pincheck.model.frozen import frozen
from pincheck.model.problem import Problem
from pincheck.model.setting import Setting, StyleName
from pincheck.model.source import Source, Span


@frozen
class NotSent:
    """A file that the configuration asks for and nobody handed over.

    `asked_by` is the setting or directive that names it, `name` as written. A `pattern` names
    whatever fits it. `why` is set where the file is there and was not read.
    """

    name: str
    asked_by: Setting | None = None
    pattern: bool = False
    why: str = ""

    @property
    def verb(self) -> str:
        """What was not done with it: it was not sent, or not read."""
        return "read" if self.why else "sent"


@frozen
class Lost:
    """A setting that leaves nothing behind.

    What it speaks of is set up only by `by`, behind it, or by nothing; or (`afresh`) `by` sets
    that up anew and what this one said is gone.
    """

    setting: Setting
    by: Setting | None = None
    afresh: bool = False


@frozen
class SensorTable:
    """A sensor's table that was handed over with the configuration, as the firmware looks it up.

    `rows` are (share of the converter's full scale, temperature in C), shares rising; `pullup_ohm`
    is the pull-up that its comments give, if any. `unknown` says why there is none of it.
    """

    file: str
    span: Span | None = None
    rows: tuple[tuple[float, float], ...] = ()
    pullup_ohm: float | None = None
    unknown: str = ""


@frozen
class Later:
    """The machine after a script that an event starts: its reading, and what that script set."""

    reading: "Reading"
    settings: tuple[Setting, ...]


@frozen(slots=False)
class Reading:
    """Settings of one machine in the order the firmware meets them, with what went wrong.

    Later settings override earlier ones unless the style says otherwise; the reader marks the
    losers `Activity.DISABLED` and pairs them in `overridden` as (loser, winner). `lost` are those
    that do nothing although no other one takes their place. `unused` names the files that were
    handed over and that nothing asks for. `tables` are the sensor tables that the settings select,
    by the word that selects them. `later` is the machine after each script of events that undoes
    something, one by one; `probing` what those say that deploy and stow a probe, by that word, and
    `homing` what those say that home the Z axis.
    """

    style: StyleName
    sources: tuple[Source, ...]
    settings: tuple[Setting, ...]
    overridden: tuple[tuple[Setting, Setting], ...] = ()
    not_sent: tuple[NotSent, ...] = ()
    problems: tuple[Problem, ...] = ()
    lost: tuple[Lost, ...] = ()
    unused: tuple[str, ...] = ()
    tables: Mapping[str, SensorTable] = field(factory=dict)
    later: tuple[Later, ...] = field(default=())
    probing: Mapping[str, tuple[Setting, ...]] = field(factory=dict)
    homing: tuple[Setting, ...] = field(default=())

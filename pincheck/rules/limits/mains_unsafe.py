"""A heater on mains lacks what keeps it from killing or burning.

Its metal must be earthed, or a broken element makes it live to the touch; a thermal cut-out of its
own must break its current, for a relay that fails stays closed and no firmware opens it; the live
side must be what is switched, or the element is live while it is off. None of this can be measured
from a configuration: somebody has to look, and it belongs to licensed practice.
"""

from pincheck.analysis import roles
from pincheck.analysis.case import Case, fact
from pincheck.model.finding import Finding, Severity, Unchecked
from pincheck.model.path import Wired
from pincheck.rules.rule import Outcomes, example, rule

_FACTS = {
    "earthed": "is not earthed: with a broken element its metal is live",
    "cut_out": "has no thermal cut-out: a relay that stays closed heats it until something burns",
    "live_switched": "has its neutral switched: it is live while it is off",
}
_BED = 'at = "main.bed"\npart = "bed-24v-200w"'


@rule(
    Severity.DANGER,
    source="IEC 60335-1 (earthing, thermal cut-outs, switched poles), from memory",
    fires=example(
        "section",
        (
            "marsh-230-c.toml",
            _BED,
            'at = "main.bed"\npart = "bed-230v-600w"\nmains = { earthed = false }',
        ),
        also=("heater-voltage-differs",),
    ),
    quiet=example("section", ("marsh-230-c.toml", _BED, _BED + "\nmains = { earthed = false }")),
)
def mains_unsafe(case: Case) -> Outcomes:
    """Look at what the wiring states of each heater on mains."""
    for wired in case.fitted("heater"):
        if not _on_mains(case, wired):
            continue
        stated = {name: getattr(wired.fit.mains, name) for name in _FACTS}
        for name in (name for name, said in stated.items() if said is False):
            yield Finding(
                spots=((wired.role, "supply_v"),),
                message=f"The {roles.name(wired.role)} is on mains and {_FACTS[name]}.",
                facts=(fact(wired, "supply_v", f"{name} = false"),),
                advice="Leave it unplugged, and leave mains wiring to licensed practice.",
            )
        if lacking := [f"{name} = true" for name, said in stated.items() if said is None]:
            told = f"on mains, and nothing says mains = {{ {', '.join(lacking)} }} of its fit"
            yield Unchecked(wired.role, "supply_v", told)


def _on_mains(case: Case, wired: Wired) -> bool:
    at = (wired.switched_net, wired.supply_rail)
    return wired.part.mains or any(key and case.assembly.boards[key[0]].mains for key in at)

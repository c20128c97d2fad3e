"""`figures` and `check` never disagree: every figure that both print, and every verdict on one."""

import re

import pytest
from plant import clean, names

from pincheck import api
from pincheck.analysis.case import Case
from pincheck.analysis.heater_scene import Scene, scene
from pincheck.model.role import sibling
from pincheck.reports import figures
from pincheck.sensors import READS_RIGHT_K

PLANTED = [f"planted {style}" for style in ("define", "section", "gcode")]
SAME = (
    # a finding's number, the line of figures and the number in it
    (r"(?:temperature at the cut|where it settles)(.*)", r"sensor (?:falls )?out", "hottest{}"),
    (
        r"time to the (?:cut|false alarm)",
        r"sensor (?:falls out|out)|heater loose",
        "time to the cut",
    ),
    (r"believed at a true (\d+ C)", r"at {}$", "read at {}"),
    (r"tolerance at (\d+ C) \(worst case\)", r"at {}$", "tolerance at {}, worst case"),
    (r"tolerance at (\d+ C) \(root sum square\)", r"at {}$", "tolerance at {}, likely"),
    (r"where it settles without its sensor", r"sensor falls out", "hottest"),
    (r"real RMS current", "current", "real RMS current"),
    (r"real power", "power", "power"),
)
RULES_OF = {
    "sensor falls out": "sensor-falls-out-too-hot",
    "sensor out before": "sensor-out-at-warm-up",
    "heater loose": "heater-loose-unnoticed",
}


def checked(name):
    if name in PLANTED:
        read = api.load_configuration(api.demo(name.replace(" ", "/")))
        return api.check(read, api.load_wiring(api.demo("marsh-230-c.toml")))
    return api.check(*clean(name))


def told(result):
    """Yield every finding, those beneath a cause as well."""
    for finding in result.findings:
        yield from (finding, *finding.effects)


def differing(result, lines):
    """Yield each number of a finding that a line of figures of its role gives otherwise."""
    for finding in told(result):
        for number in finding.numbers:
            for name, label, other in SAME:
                if not (same := re.fullmatch(name, number.name)):
                    continue
                wanted = [group for group in same.groups() if group is not None]
                label_, other_ = (text.format(*wanted) for text in (label, other))
                for figure in lines.get(finding.role, ()):
                    of = next((r for at, r in RULES_OF.items() if figure["label"].startswith(at)),
                              finding.rule)  # fmt: skip
                    if not re.match(label_, figure["label"]) or of != finding.rule:
                        continue
                    for shown in figure["numbers"]:
                        if shown["name"] == other_ and shown["value"] != pytest.approx(
                            number.value
                        ):
                            yield f"{finding.rule} {number.name} {number.value}: {shown}"


def unfounded(result, lines):
    """Yield each verdict that a line of figures belies."""
    case = Case(result.claims, result.trace, result.assembly)
    state = {(v.role, v.attribute): v.state for v in result.verdicts}
    accused = {role for finding in told(result) for role in finding.roles}
    for role, rows in lines.items():
        heated = role.partition(".")[2] in ("heater", "sensor") and not role.startswith("probe")
        heater = str(sibling(role, "heater")) if heated else ""
        wired = case.trace.find(heater)
        found = scene(case, wired) if wired else ""
        for row in rows:
            label, text = row["label"], row["text"]
            at = f"{role} {label}: {text}"
            values = {n["name"]: n["value"] for n in row["numbers"]}
            if "TOO MUCH" in text and role not in accused:
                yield at
            if "NOT noticed" in text:
                spots = (heater, "min_c"), (heater, "max_c"), (role, "table")
                if all(state.get(spot) == "agrees" for spot in spots):
                    yield at
            if label.startswith("worst error") and values:
                wrong = abs(values["worst error"]) > READS_RIGHT_K
                right = all(state.get((role, it)) == "agrees" for it in ("table", "pullup_ohm"))
                if wrong and right:
                    yield at
            if isinstance(found, Scene) and found.weakest and label.startswith("sensor falls out"):
                hot = [v for name, v in values.items() if name.startswith("hottest")]
                agrees = state.get((heater, "trip_period_s")) == "agrees"
                if hot and max(hot) > found.weakest.max_c and agrees:
                    yield at


@pytest.mark.parametrize("machine", [*PLANTED, *names()])
def test_figures_say_what_the_check_says(machine):
    result = checked(machine)
    document = figures.record(result)
    lines = {role["role"]: role["figures"] for role in document["roles"]}
    assert [*differing(result, lines), *unfounded(result, lines)] == []

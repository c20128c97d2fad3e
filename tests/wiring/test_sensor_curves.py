"""A sensor's own curve in a parts file, and how it counts in a whole check."""

import pytest

from pincheck import api
from pincheck.model.problem import UnreadableError

PART = 'kind = "sensor"\nsensor = "ntc-100k-b3950"\nmax_c = 300\n'
SPOT = "hotend.sensor", "table"
FITTED = ("marsh-230-c.toml", 'part = "ntc-100k-104gt-2"', 'part = "bead"')


@pytest.fixture
def assembly(wiring):
    """Return a maker of the demo's assembly with a bead of one's own in the hot end."""

    def make(curve, part=PART):
        named = ("marsh-230-c.toml", "[assembly]\n", '[assembly]\nparts = ["own.toml"]\n')
        folder = wiring(FITTED, named)
        (folder / "own.toml").write_text(f"[bead]\n{part}curve = {curve}\n")
        return api.load_wiring(folder / "marsh-230-c.toml")

    return make


@pytest.fixture
def verdict(assembly, tmp_path):
    """Return the verdict of the hot end's table in the section style."""

    def ask(curve, word):
        here = tmp_path / "configuration"
        here.mkdir()
        for file in (api.demo("clean") / "section").iterdir():
            text = file.read_text().replace("ATC Semitec 104GT-2", word)
            (here / file.name).write_text(text)
        result = api.check(api.load_configuration(here), assembly(curve))
        (found,) = (
            v for v in result.verdicts if (v.role, v.attribute) == ("hotend.sensor", "table")
        )
        return found.state, result, api.propose(result)

    return ask


def test_a_curve_like_the_three_points_agrees_with_them(verdict):
    state, *_ = verdict("[[25, 100000], [150, 1770], [250, 230]]", "Generic 3950")
    assert state == "agrees"


def test_and_contradicts_the_beta_equation(verdict):
    """230 ohm at 250 C are 277 C by the beta equation; the edit names the three points."""
    state, result, proposals = verdict(
        "[[25, 100000], [150, 1770], [250, 230]]", "NTC 100K beta 3950"
    )
    assert state == "contradicts"
    (found,) = (f for f in result.findings if f.rule == "sensor-table-differs")
    assert "K too high" in found.message
    texts = [e.replacement for p in proposals if p.finding is found for e in p.edits]
    assert texts == ["Generic 3950"]


def test_a_table_that_ends_before_the_limit_is_no_agreement(verdict):
    state, *_ = verdict("[[0, 320000], [25, 100000], [100, 6872], [200, 581]]", "Generic 3950")
    assert state == "not checked"


@pytest.mark.parametrize(
    ("curve", "part", "said"),
    [
        ("[[25, 100000], [150, 1770]]", PART, "2 points: allowed are 3 or more"),
        ("[[25, 100000], [150, 1770], [250, 2300]]", PART, "allowed are rising temperatures"),
        ("[[25, 1e5], [150, 17e2], [250, 2e2], [300, 3e2]]", PART, "resistances that fall"),
        ("[[25, 100000], [150], [250, 230]]", PART, "curve"),
        ("7", PART, "curve"),
        ('"steep"', PART, "curve"),
        (
            "[[25, 100000], [150, 1770], [250, 230]]",
            'kind = "sensor"\n',
            "name its class beside it",
        ),
    ],
)
def test_a_curve_of_no_thermistor_is_refused_at_its_line(assembly, curve, part, said):
    with pytest.raises(UnreadableError) as caught:
        assembly(curve, part)
    (problem,) = caught.value.problems
    assert said in problem.message
    assert problem.span

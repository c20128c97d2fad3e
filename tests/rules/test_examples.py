"""Every rule's own examples: the failing one fires it and no other, the near miss fires none."""

import re
import shutil
from pathlib import Path

import pytest

from pincheck import api, resources
from pincheck import rules as rules_package
from pincheck.model.finding import Result
from pincheck.rules.registry import rules
from pincheck.rules.rule import Example, Rule


def checked(example: Example, folder: Path) -> Result:
    """Check the demo with an example's texts replaced."""
    shutil.copytree(resources.folder("configs"), folder)
    for file, old, new in example.replaced:
        path = folder / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
        path.write_text(text.replace(old, new), encoding="utf-8")
    machine = api.load_configuration(folder / "clean" / example.style, style=example.style)
    return api.check(machine, api.load_wiring(folder / "marsh-230-c.toml"))


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.id)
def test_the_failing_example_fires_this_rule_and_no_other(rule: Rule, tmp_path: Path):
    result = checked(rule.fires, tmp_path / "configs")
    fired = {finding.rule for finding in result.findings}
    assert fired == {rule.id, *rule.fires.also}, [f.message for f in result.findings]
    worst = max(f.severity for f in result.findings if f.rule == rule.id)
    assert worst <= rule.severity


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.id)
def test_the_near_miss_stays_quiet(rule: Rule, tmp_path: Path):
    result = checked(rule.quiet, tmp_path / "configs")
    assert not result.findings, [f.message for f in result.findings]


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.id)
def test_a_rule_explains_itself(rule: Rule):
    assert rule.id.replace("-", "").isalnum()
    assert (Path(rules_package.__file__).parent / rule.family).is_dir()
    assert rule.title[0].isupper()
    assert not rule.title.endswith(".")
    assert len(rule.reason) > 100
    assert rule.source


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.id)
def test_a_near_miss_differs_in_more_than_blanks_and_comments(rule: Rule):
    def bare(text: str) -> str:
        return "".join(re.sub(r"\s#.*", "", line) for line in text.splitlines()).replace(" ", "")

    assert any(bare(old) != bare(new) for _, old, new in rule.quiet.replaced)

"""Every rule's own examples: the failing one fires it and no other, the near miss fires none."""

import re
import shutil
from functools import cache
from pathlib import Path

import pytest

from pincheck import api, resources
from pincheck import rules as rules_package
from pincheck.model.finding import Result
from pincheck.model.wiring import Assembly
from pincheck.rules.registry import rules
from pincheck.rules.rule import Example, Rule


@cache
def _assembly(folder: Path) -> Assembly:
    return api.load_wiring(folder / "marsh-230-c.toml")


def checked(example: Example, folder: Path) -> Result:
    """Check the demo with an example's texts replaced."""
    demo = resources.folder("configs")
    style = f"clean/{example.style}"
    shutil.copytree(demo / style, folder / style)
    rewired = any(file.endswith(".toml") for file, _, _ in example.replaced)
    if rewired:
        shutil.copytree(demo / "boards", folder / "boards")
        for file in demo.glob("*.toml"):
            shutil.copy(file, folder)
    for name, old, new in example.replaced:
        path = folder / name
        text = path.read_text(encoding="utf-8") if old or path.exists() else ""
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
        path.write_text(text.replace(old, new), encoding="utf-8")
    machine = api.load_configuration(folder / style, style=example.style)
    return api.check(machine, _assembly(folder if rewired else demo))


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


def test_a_rule_explains_itself():
    families = {path.name for path in Path(rules_package.__file__).parent.iterdir()}
    for rule in rules():
        assert rule.id.replace("-", "").isalnum(), rule.id
        assert rule.family in families, rule.id
        assert rule.title[0].isupper(), rule.id
        assert not rule.title.endswith("."), rule.id
        assert len(rule.reason) > 100, rule.id
        assert rule.source, rule.id


def test_a_near_miss_differs_in_more_than_blanks_and_comments():
    def bare(text: str) -> str:
        return "".join(re.sub(r"\s#.*", "", line) for line in text.splitlines()).replace(" ", "")

    for rule in rules():
        assert any(bare(old) != bare(new) for _, old, new in rule.quiet.replaced), rule.id

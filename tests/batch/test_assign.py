"""Which assembly a submission gets, and who said so."""

from collections.abc import Callable
from pathlib import Path

import pytest

from pincheck import api
from pincheck.batch.assign import AssignmentRule, Offer, UnassignedError, offer, rules
from pincheck.batch.examine import Desk, Examined, Task, examine
from pincheck.model.problem import UnreadableError


def _examine(desk: Desk, file: Path, path: str = "x", named: str = "") -> Examined:
    return examine(desk, Task(file, path, named, b""))


def _assigned(desk: Desk, file: Path, path: str = "x", named: str = "") -> tuple[str, str]:
    examined = _examine(desk, file, path, named)
    return examined.offered.name, examined.assigned_by


def test_manifest_before_marker_before_rule(offered: Offer, customer: Callable[..., Path]) -> None:
    """The desk's word goes before the customer's, the customer's before a guess."""
    where = customer("one")
    desk = Desk(offered, (AssignmentRule(1, "marsh-230-curlew", style="section"),))
    assert _assigned(desk, where, named="Marsh-230_B") == ("marsh-230-b", "manifest")
    assert _assigned(desk, where) == ("marsh-230-c", "marker file")
    (where / "pincheck-assembly.txt").write_text("# nothing said\n\n")
    assert _assigned(desk, where) == ("marsh-230-curlew", "rule 1")


@pytest.mark.parametrize(
    ("rule", "fits"),
    [
        (AssignmentRule(1, "marsh-230-b", path="in/*"), True),
        (AssignmentRule(1, "marsh-230-b", path="out/*"), False),
        (AssignmentRule(1, "marsh-230-b", style="define"), True),
        (AssignmentRule(1, "marsh-230-b", style="gcode"), False),
        (AssignmentRule(1, "marsh-230-b", setting="BOARD_HERON_2"), True),
        (AssignmentRule(1, "marsh-230-b", setting="BOARD_HERON"), False),
        (AssignmentRule(1, "marsh-230-b", setting="A4988"), False),
        (AssignmentRule(1, "marsh-230-b", text="A4988"), True),
        (AssignmentRule(1, "marsh-230-b", path="in/*", style="gcode"), False),
    ],
)
def test_rules_fit_what_they_state(
    offered: Offer, customer: Callable[..., Path], rule: AssignmentRule, fits: bool
) -> None:
    """All that a rule states must hold; a setting in a comment is none."""
    where = customer("one", "define")
    (where / "pincheck-assembly.txt").unlink()
    if fits:
        assert _assigned(Desk(offered, (rule,)), where, "in/one") == ("marsh-230-b", "rule 1")
    else:
        with pytest.raises(UnassignedError, match="it fits no assembly"):
            _examine(Desk(offered, (rule,)), where, "in/one")


def test_a_single_assembly_is_taken_for_all(customer: Callable[..., Path]) -> None:
    """A desk with one product need not say so for each customer."""
    where = customer("one")
    (where / "pincheck-assembly.txt").unlink()
    only = offer([api.demo("marsh-230-c.toml")])
    assert _assigned(Desk(only), where) == ("marsh-230-c", "only assembly")


@pytest.mark.parametrize(
    ("marker", "why"),
    [
        ("marsh-230-d", "did you mean 'marsh-230-"),
        ("../../etc/passwd", "there is no assembly '../../etc/passwd'"),
    ],
)
def test_a_marker_names_an_offered_assembly_or_none(
    offered: Offer, customer: Callable[..., Path], marker: str, why: str
) -> None:
    """It is a name among those offered, never a path; even a single one is not guessed at."""
    where = customer("one")
    (where / "pincheck-assembly.txt").write_text(marker)
    with pytest.raises(UnassignedError, match=why):
        _examine(Desk(offered), where)


def test_markers_that_disagree(offered: Offer, customer: Callable[..., Path]) -> None:
    """Two of them name two machines."""
    where = customer("one")
    (where / "old").mkdir()
    (where / "old" / "pincheck-assembly.txt").write_text("marsh-230-b")
    with pytest.raises(UnassignedError, match="disagree: marsh-230-b, marsh-230-c"):
        _examine(Desk(offered), where)


def test_rule_file(tmp_path: Path, offered: Offer) -> None:
    """Rules come in the order of the file."""
    file = tmp_path / "rules.toml"
    file.write_text(
        '[[assign]]\nassembly = "marsh-230-b"\npath = "b-*"\n'
        '[[assign]]\nassembly = "Marsh-230-C"\nsetting = "BOARD_HERON_2"\nstyle = "define"\n'
    )
    assert rules(file, offered) == (
        AssignmentRule(1, "marsh-230-b", path="b-*"),
        AssignmentRule(2, "Marsh-230-C", setting="BOARD_HERON_2", style="define"),
    )


def test_every_mistake_of_a_rule_file_in_one_go(tmp_path: Path, offered: Offer) -> None:
    """Each with its line; a rule without a condition would take everything."""
    file = tmp_path / "rules.toml"
    file.write_text(
        '[[assign]]\nassembly = "marsh-230-x"\npath = "b-*"\n'
        '[[assign]]\nassembly = "marsh-230-c"\n'
        '[[assign]]\nassembly = "marsh-230-c"\nstile = "define"\n'
        '[[assign]]\npath = "c-*"\n'
    )
    with pytest.raises(UnreadableError) as caught:
        rules(file, offered)
    found = [(p.span.line if p.span else 0, p.message) for p in caught.value.problems]
    lines = [line for line, _ in found]
    assert lines[:2] == [2, 4]
    assert 8 in lines
    assert 9 in lines
    assert "would fit every submission" in found[1][1]


def test_offer_tells_mistakes_of_all_assemblies(tmp_path: Path) -> None:
    """A broken assembly stops the desk before the first check; boards and parts are no assembly."""
    (tmp_path / "board.toml").write_text('[board]\nname = "Snipe"\n')
    (tmp_path / "one.toml").write_text('[assembly]\nnme = "x"\n')
    (tmp_path / "two.toml").write_text('[assembly]\nname = "x"\n[boards]\nmain = "none.toml"\n')
    with pytest.raises(UnreadableError) as caught:
        offer([tmp_path])
    assert {problem.file for problem in caught.value.problems} == {"one.toml", "two.toml"}


def test_no_assembly_at_all(tmp_path: Path) -> None:
    """An empty folder is a mistake, not a batch without findings."""
    with pytest.raises(UnreadableError, match="no assembly was found"):
        offer([tmp_path])

"""A reply that a customer can act on: plain words, the diff, one caution."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from pincheck import api
from pincheck.batch import reply
from pincheck.batch.assign import AssignmentRule, Offer
from pincheck.batch.examine import Desk, Task
from pincheck.cli.desk import draft

_MARKUP = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f`<>|]|\*\*|^#", re.M)


@pytest.fixture
def drafted(offered: Offer) -> Callable[[Path], tuple[int, str]]:
    """Draft the reply to a submission; return exit code and text."""

    def draft_(where: Path) -> tuple[int, str]:
        desk = Desk(offered, (AssignmentRule(1, "marsh-230-c", style="section"),))
        code, text, _ = draft(desk, Task(where, where.name, "", b""))
        return code, "\n".join(text)

    return draft_


def test_findings_in_words_with_the_diff(
    customer: Callable[..., Path], drafted: Callable[[Path], tuple[int, str]]
) -> None:
    """Each finding with the customer's own line; the changes once; the caution once."""
    where = customer("t", "section", ("max_temp: 255", "max_temp: 300"), ("pin: PB8", "pin: PB7"))
    code, text = drafted(where)
    assert code == 1
    assert "Do not power on: 1 danger, 1 fault" in " ".join(text.split())
    assert "1. Dangerous. Firmware lets the hot-end heater go to 300 C" in text
    assert "2. Will not work. Firmware drives the part fan on PB7" in text
    assert "   Your line: toolhead.cfg:35  pin: PB7" in text
    assert "under 1 and 2." in text
    assert "\n-pin: PB7\n+pin: PB8\n" in text
    assert text.count("Power off and unplug") == 1
    assert not _MARKUP.search(text)
    assert max(map(len, text.splitlines())) <= 80


def test_a_protection_is_not_weakened_by_mail(
    customer: Callable[..., Path], drafted: Callable[[Path], tuple[int, str]]
) -> None:
    """Only edits that are safe to take as they stand are in the diff."""
    where = customer("t", "section", ("max_temp: 255", "max_temp: 300"))
    _, text = drafted(where)
    before = re.search(r"^-max_temp: (\d+)", text, re.M)
    after = re.search(r"^\+max_temp: (\d+)", text, re.M)
    assert before
    assert after
    assert int(after[1]) < int(before[1])


def test_nothing_wrong(
    customer: Callable[..., Path], drafted: Callable[[Path], tuple[int, str]]
) -> None:
    """No diff, no list, and still no promise."""
    code, text = drafted(customer("t"))
    assert code == 0
    assert "+++" not in text
    assert "Agreement on paper is no proof" in text


def test_missing_files_are_asked_for(
    customer: Callable[..., Path], drafted: Callable[[Path], tuple[int, str]]
) -> None:
    """A file that the configuration names and nobody sent."""
    where = customer(
        "t", "section", ("[include toolhead.cfg]", "[include toolhead.cfg]\n[include fans.cfg]")
    )
    assert "were not sent: fans.cfg. Please send" in " ".join(drafted(where)[1].split())


def test_what_could_not_be_checked(
    tmp_path: Path, drafted: Callable[[Path], tuple[int, str]]
) -> None:
    """The reason, and what to send."""
    file = tmp_path / "photo.cfg"
    file.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(99))
    code, text = drafted(file)
    assert code == 2
    assert "photo.cfg: this is a PNG picture" in text
    assert "Please send the configuration again" in text


def test_unknown_board(customer: Callable[..., Path], offered: Offer) -> None:
    """The desk's own names and files are for the desk, and none of the customer's business."""
    where = customer("t", "gcode")
    (where / "pincheck-assembly.txt").unlink()
    desk = Desk(offered, (AssignmentRule(1, "marsh-230-c", style="section"),))
    code, text, remark = draft(desk, Task(where, where.name, "", b""))
    assert code == 2
    assert "do not say which board" in " ".join(text)
    assert "no rule fits" in remark
    assert "no rule" not in " ".join(text)


def test_hostile_text_is_harmless(
    customer: Callable[..., Path], drafted: Callable[[Path], tuple[int, str]]
) -> None:
    """A terminal escape in the customer's line comes out as text."""
    where = customer("t", "section", ("max_temp: 255 ", "max_temp: 300 # \x1b[2J"))
    _, text = drafted(where)
    assert "\x1b" not in text
    assert r"\x1b[2J" in text


def test_advice_stands_where_no_edit_can_help() -> None:
    """What has to be done at the machine is said there."""
    assembly = api.load_wiring(api.demo("marsh-230-b.toml"))
    machine = api.load_configuration(api.demo("clean") / "section")
    result = api.check(machine, assembly)
    text = "\n".join(reply.lines(result))
    advised = [finding for finding in result.findings if finding.advice]
    assert text.count("To do: ") == len(advised)

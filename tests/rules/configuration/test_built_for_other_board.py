"""`built-for-other-board`."""

from pincheck.model.finding import Severity

RULE = "built-for-other-board"
LINE = "MOTHERBOARD BOARD_HERON_2"


def test_the_line_left_over_from_a_swap_is_the_fault(demo):
    result = demo("define", ("machine.h", LINE, "MOTHERBOARD BOARD_BITTERN"))
    (found,) = result.findings
    assert (found.rule, found.severity) == (RULE, Severity.FAULT)
    assert found.message.startswith(
        "MOTHERBOARD names BOARD_BITTERN, and the board that is wired is Heron 2 (BOARD_HERON_2)"
    )
    assert found.claims[0].setting.value == "BOARD_BITTERN"
    # the part fan's pin is the user's own line, whatever the board
    assert "part.fan" not in found.roles
    assert "bed.heater" in found.roles


def test_near_miss_a_board_whose_wiring_gives_no_name(demo):
    result = demo(
        "define",
        ("machine.h", LINE, "MOTHERBOARD BOARD_BITTERN"),
        ("boards/heron-2.toml", 'identifiers = ["BOARD_HERON_2"]', ""),
    )
    assert not result.findings

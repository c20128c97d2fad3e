"""The block that the firmware writes behind the main file's text."""

import pytest

from pincheck.model.reading import Reading
from pincheck.model.setting import Activity
from pincheck.model.source import Source
from pincheck.readers import section

HEAD = (
    "#*# <---------------------- SAVE_CONFIG ---------------------->\n"
    "#*# DO NOT EDIT THIS BLOCK OR BELOW. The contents are auto-generated.\n#*#\n"
)
MAIN = "[extruder]\nmax_temp: 250\ncontrol: pid\n\n"
BLOCK = HEAD + "#*# [extruder]\n#*# control = watermark\n#*# points =\n#*# \t1, 2\n#*# \t3, 4\n"


def read(text: str) -> Reading:
    """Read one main file."""
    return section.read([Source.of_text("machine.cfg", text)])


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("end", ["", "\n\n", "#*#\n"])
def test_the_main_text_overrides_a_saved_value(newline: str, end: str) -> None:
    """Both lines are named, and the saved value's place is the one in the block."""
    reading = read((MAIN + BLOCK + end).replace("\n", newline))
    assert reading.problems == ()
    ((loser, winner),) = reading.overridden
    assert (winner.value, winner.span.line, winner.activity) == ("pid", 3, Activity.ACTIVE)
    assert (loser.value, loser.span.line, loser.span.column) == ("watermark", 9, 5)
    assert (loser.activity, loser.saved, winner.saved) == (Activity.DISABLED, True, False)
    assert loser.value_span.column == len("#*# control = ") + 1
    assert loser.source.text[loser.value_start : loser.value_end] == "watermark"


def test_saved_value_of_several_lines() -> None:
    """The marks of the block are no part of what a value comes to."""
    points = next(it for it in read(MAIN + BLOCK).settings if it.key == "points")
    assert (points.resolved, points.activity) == ("1, 2\n3, 4", Activity.ACTIVE)
    assert points.value == "1, 2\n#*# \t3, 4"


@pytest.mark.parametrize(
    ("behind", "why", "line"),
    [
        ("[fan]\npin: PA1\n", "other text follows it", 13),
        ("#*#changed\n", "other text follows it", 13),
        (BLOCK, "its mark stands there twice", 13),
    ],
)
def test_block_that_was_changed(behind: str, why: str, line: int) -> None:
    """A changed block is one comment to the firmware: its values are possible, never sure."""
    reading = read(MAIN + BLOCK + behind)
    assert [(it.message, it.span and it.span.line) for it in reading.problems] == [
        (f"the firmware will not read the saved block: {why}", line)
    ]
    control, points = (
        [it for it in reading.settings if it.key == key] for key in ("control", "points")
    )
    assert [it.activity for it in control][:2] == [Activity.ACTIVE, Activity.DISABLED]
    assert points[0].activity is Activity.POSSIBLE
    assert points[0].condition == f"the firmware takes the saved block although {why}"
    assert reading.overridden == ()


def test_a_saved_value_gives_way_to_a_line_that_may_count() -> None:
    """Where a merge in the main text is not settled, the saved value counts only perhaps."""
    merge = "<<<<<<< mine\n[extruder]\ncontrol: pid\n=======\n>>>>>>> yours\n"
    found = [it for it in read("[extruder]\nmax_temp: 250\n" + merge + BLOCK).settings if it.key]
    told = {it.value: (it.activity, it.condition) for it in found if it.key == "control"}
    assert told["watermark"] == (Activity.POSSIBLE, "the main text leaves it out")
    assert told["pid"][0] is Activity.POSSIBLE


def test_text_behind_the_block_is_read() -> None:
    """What stands behind the block is ordinary text."""
    reading = read(MAIN + BLOCK + "[fan]\npin: PA1\n")
    assert [it.value for it in reading.settings if it.section == "fan"] == ["fan", "PA1"]


def test_only_the_main_file_has_a_saved_block() -> None:
    """In an included file the same lines are comments."""
    main = Source.of_text("machine.cfg", "[printer]\n[include old.cfg]\n")
    reading = section.read([main, Source.of_text("old.cfg", MAIN + BLOCK)])
    assert [it.value for it in reading.settings if it.key == "control"] == ["pid"]
    assert reading.problems == ()


def test_an_included_file_overrides_the_saved_block() -> None:
    """It is part of the main text, wherever it is included."""
    main = Source.of_text("machine.cfg", "[printer]\n[include tool.cfg]\n" + BLOCK)
    reading = section.read([main, Source.of_text("tool.cfg", MAIN)])
    ((loser, winner),) = reading.overridden
    assert (loser.source.name, winner.source.name) == ("machine.cfg", "tool.cfg")

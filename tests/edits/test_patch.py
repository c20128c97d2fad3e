"""Edits change their own characters and leave every other byte as it was."""

import pytest

from pincheck.edits.patch import OverlapError, diff, overlapping, patched
from pincheck.intake.text import decode
from pincheck.model.finding import Edit
from pincheck.model.source import Source

TEXT = "[fan]\npin: PB7  # part fan °\nmax_power: 1.0\n"


def source(data: bytes) -> Source:
    found, _ = decode("machine.cfg", data)
    assert found is not None
    return found


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(TEXT.encode(), id="LF"),
        pytest.param(TEXT.replace("\n", "\r\n").encode(), id="CRLF"),
        pytest.param(b"\xef\xbb\xbf" + TEXT.encode(), id="BOM"),
        pytest.param(TEXT.encode().rstrip(b"\n"), id="no final newline"),
        pytest.param(TEXT.encode("latin-1"), id="latin-1"),
        pytest.param(TEXT.encode("utf-16"), id="utf-16"),
        pytest.param(b"# \x00\n" + TEXT.encode(), id="NUL"),
    ],
)
def test_only_the_edited_characters_change(data: bytes) -> None:
    before = source(data)
    at = before.text.index("PB7")
    (after,) = patched([before], [Edit("machine.cfg", at, at + 3, "PB8")])
    start, old, new = (text.encode(before.encoding) for text in (before.text[:at], "PB7", "PB8"))
    assert after.data == data.replace(start + old, start + new)


def test_equal_edits_count_once_and_overlapping_ones_are_refused() -> None:
    before = source(TEXT.encode())
    edit = Edit("machine.cfg", 11, 14, "PB8")
    (after,) = patched([before], [edit, edit])
    assert "pin: PB8  #" in after.text
    other = Edit("machine.cfg", 13, 16, "X")
    assert overlapping(edit, other)
    with pytest.raises(OverlapError):
        patched([before], [edit, other])


def test_a_character_that_the_encoding_lacks_is_refused() -> None:
    before = source("[fan]\n# °\npin: PB7\n".encode("latin-1"))
    with pytest.raises(UnicodeEncodeError):
        patched([before], [Edit("machine.cfg", 0, 0, "→")])


def test_the_diff_shows_both_sides_and_no_control_character() -> None:
    before = source(b"a\r\npin: PB7\x1b[31m\r\nb\r\n")
    at = before.text.index("PB7")
    lines = list(diff([before], patched([before], [Edit("machine.cfg", at, at + 3, "PB8")])))
    assert "-pin: PB7\\x1b[31m" in lines
    assert "+pin: PB8\\x1b[31m" in lines
    assert not any("\x1b" in line or "\r" in line for line in lines)

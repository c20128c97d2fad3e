"""Pictures of the screen as characters, kept beside this file.

`PINCHECK_REGENERATE=1 pytest tests/screen/test_pictures.py` draws them anew; look at each
difference before it is committed.
"""

import os
from pathlib import Path

import pytest

PICTURES = Path(__file__).parent / "pictures"

DRAWN = {
    "first-look-80x24": ((80, 24), (), {}),
    "first-look-60x20": ((60, 20), ("tab",), {}),
    "first-look-160x50": ((160, 50), (), {}),
    "first-look-ascii-80x24": ((80, 24), ("2",), {"ascii_only": True}),
    "finding-80x24": ((80, 24), ("enter",), {}),
    "finding-160x50": ((160, 50), ("enter",), {}),
    "cell-60x20": ((60, 20), ("tab", "end", "up", "right", "enter"), {}),
    "edits-80x24": ((80, 24), ("e", "a"), {}),
    "edits-60x20": ((60, 20), ("e", "down", "enter"), {}),
    "board-80x24": ((80, 24), ("enter", "b"), {}),
    "board-160x50": ((160, 50), ("b",), {}),
    "curves-80x24": ((80, 24), ("g", "down", "down"), {}),
    "fault-curve-ascii-60x20": ((60, 20), ("g", "o"), {"ascii_only": True}),
    "walk-80x24": ((80, 24), ("w", "down"), {}),
    "walk-60x20": ((60, 20), ("w", "down", "enter", "9", "enter"), {}),
    "keys-60x20": ((60, 20), ("question_mark",), {}),
    "too-small-50x18": ((50, 18), (), {}),
}


@pytest.mark.parametrize("name", DRAWN)
def test_the_screen_looks_as_it_did(drive, name):
    size, keys, options = DRAWN[name]
    seen, file = drive(*keys, size=size, **options).text, PICTURES / f"{name}.txt"
    if os.environ.get("PINCHECK_REGENERATE"):
        PICTURES.mkdir(exist_ok=True)
        file.write_text(seen, encoding="utf-8")
    assert seen == file.read_text(encoding="utf-8")


def test_no_picture_is_left_over():
    assert {file.stem for file in PICTURES.glob("*.txt")} == set(DRAWN)

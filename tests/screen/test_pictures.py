"""Pictures of the screen as characters, kept beside this file.

`PINCHECK_REGENERATE=1 pytest tests/screen/test_pictures.py` draws them anew; look at each
difference before it is committed.
"""

import os
from pathlib import Path

import pytest

PICTURES = Path(__file__).parent / "pictures"

DRAWN = {
    "80x24": {
        "first-look": (),
        "finding": ("enter",),
        "board": ("b",),
        "curves": ("escape", "g", "down", "down"),
        "walk": ("escape", "escape", "w", "down"),
        "edits": ("escape", "e", "a"),
    },
    "60x20": {
        "first-look": ("tab",),
        "cell": ("end", "up", "right", "enter"),
        "keys": ("escape", "tab", "question_mark"),
        "walk": ("escape", "w", "down", "enter", "9", "enter"),
        "edits": ("escape", "e", "down", "enter"),
    },
    "160x50": {"first-look": (), "board": ("b",), "finding": ("escape", "enter")},
    "50x18": {"too-small": ()},
    "ascii-80x24": {"first-look": ("2",)},
    "ascii-60x20": {"fault-curve": ("g", "o")},
}
"""Per size the pictures that one run of the screen passes, each with the keys that lead to it."""


@pytest.mark.parametrize("size", DRAWN)
def test_the_screen_looks_as_it_did(drive, size):
    columns, lines = map(int, size.removeprefix("ascii-").split("x"))

    async def then(bench):
        for name, keys in DRAWN[size].items():
            seen, file = await bench.press(*keys), PICTURES / f"{name}-{size}.txt"
            if os.environ.get("PINCHECK_REGENERATE"):
                file.write_text(seen, encoding="utf-8")
            assert seen == file.read_text(encoding="utf-8"), name

    drive(size=(columns, lines), ascii_only=size.startswith("ascii"), then=then)


def test_no_picture_is_left_over():
    drawn = {f"{name}-{size}" for size, pictures in DRAWN.items() for name in pictures}
    assert {file.stem for file in PICTURES.glob("*.txt")} == drawn

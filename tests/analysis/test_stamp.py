"""The stamp of a reference, and what a check makes of it in a customer's file."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from pincheck import api
from pincheck.analysis.stamp import digest_of_lines, digest_of_wiring, origins, stamp_of
from pincheck.model.wiring import Assembly

Wired = Callable[..., Assembly]
CLEAN = api.demo("clean") / "section"
REFERENCES = api.demo("reference")


def test_a_stamp_tells_what_a_reference_was_made_from() -> None:
    for name, style, file in (
        ("b", "section", "reference.cfg"), ("c", "gcode", "reference.g"),
        ("c", "define", "machine_adv.h"),
    ):  # fmt: skip
        text = (REFERENCES / f"marsh-230-{name}" / style / file).read_text()
        stamp = stamp_of(text)
        assert stamp
        assembly = api.load_wiring(api.demo(f"marsh-230-{name}.toml"))
        assert (stamp.style, stamp.assembly) == (style, assembly.name)
        assert stamp.wiring == digest_of_wiring(assembly)
        assert stamp.lines == digest_of_lines(text.replace("\n", "\r\n"))
        assert stamp.lines != digest_of_lines(text.replace("PB6", "PB5", 1))


def test_what_the_wiring_says_counts_and_not_its_remarks(rewired: Wired) -> None:
    made = digest_of_wiring(api.load_wiring(api.demo("marsh-230-c.toml")))
    again = rewired(("boards/heron-2.toml", "# Sensors", "# Sensors, as measured"))
    assert digest_of_wiring(again) == made


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        (None, "which is the wiring described here."),
        (("boards/lapwing-c.toml", "contact_a = 3.0", "contact_a = 3.1"),
         "the description of the wiring has changed since."),
        (("marsh-230-c.toml", 'name = "Marsh 230', 'name = "Marsh 240'),
         "the wiring described here is of Marsh 240 with Lapwing C."),
        (("boards/lapwing-c.toml", 'revision = "C"', 'revision = "D"'),
         "the wiring described here is of other boards, Heron 2 + Lapwing D."),
    ],
)  # fmt: skip
def test_a_customers_file_tells_which_revision_it_came_from(
    tmp_path: Path, wiring: Callable[..., Path], changed: tuple[str, str, str] | None, said: str
) -> None:
    """A reference pasted into a machine's own file still carries its stamp."""
    mine = shutil.copytree(CLEAN, tmp_path / "mine")
    reference = (REFERENCES / "marsh-230-c/section/reference.cfg").read_text()
    with (mine / "toolhead.cfg").open("a") as file:
        file.write(reference)
    folder = wiring(*([changed] if changed else ()))
    assembly = api.load_wiring(folder / "marsh-230-c.toml")
    (told,) = origins(api.check(api.load_configuration(mine), assembly))
    assert told.startswith("toolhead.cfg comes from the reference for Marsh 230 with Lapwing C (")
    assert told.endswith(said)


def test_files_without_a_stamp_say_nothing() -> None:
    assembly = api.load_wiring(api.demo("marsh-230-c.toml"))
    assert not tuple(origins(api.check(api.load_configuration(CLEAN), assembly)))
    assert stamp_of("# Stamp of pincheck ..., define style") is None

"""Every odd file is named for what it is, and one broken line never hides the rest."""

import codecs
from collections.abc import Callable
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest

from pincheck import api
from pincheck.intake import gather_bytes, machines
from pincheck.model.problem import UnreadableError

WIRING = ["--wiring", api.demo("marsh-230-c.toml")]
CLEAN = {
    "define": (api.demo("clean") / "define" / "machine.h").read_bytes(),
    "section": (api.demo("clean") / "section-curlew" / "machine.cfg").read_bytes(),
    "gcode": (api.demo("clean") / "gcode" / "config.g").read_bytes(),
}
PAGE = b"<!DOCTYPE html>\n<html><head><title>machine.cfg</title></head>\n[printer]\n</html>\n"
MOVES = b"".join(b"G1 X%d.5 Y%d.25 E0.%d F3000\n" % (n % 200, n % 190, n) for n in range(900))

NAMED = {
    "empty": (b"", "the file is empty"),
    "blank": (b" \n\t\r\n \n", "the file is empty"),
    "NUL bytes alone": (bytes(4096), "holds nothing but NUL bytes"),
    "binary": (bytes(range(256)) * 40, "this is a binary file"),
    "PNG": (b"\x89PNG\r\n\x1a\n" + bytes(99), "this is a PNG picture"),
    "JPEG": (b"\xff\xd8\xff\xe0" + bytes(99), "this is a JPEG picture"),
    "PDF": (b"%PDF-1.7\n" + b"x" * 99, "this is a PDF document"),
    "rar": (b"Rar!\x1a\x07\x00" + bytes(99), "this is a rar archive"),
    "7z": (b"7z\xbc\xaf\x27\x1c" + bytes(99), "this is a 7z archive"),
    "compiled": (b"\x7fELF" + bytes(99), "this is a compiled program"),
    "firmware image": (b"UF2\n" + bytes(99), "this is a firmware image"),
    "web page": (PAGE, "this is a web page"),
    "link as text": (b"printers/marsh-230.cfg", "this is a link saved as text"),
    "prose": (b"Hello, my printer does not heat, could you help me please?\n", "this is prose"),
    "JSON": (b'{"printer": {"max_velocity": 300}, "fan": {"pin": "PA8"}}', "this is data in JSON"),
    "CSV": (b"time,temperature\n1,20.5\n2,20.6\n3,20.7\n", "no setting of any style"),
    "patch": (
        b"--- a/machine.cfg\n+++ b/machine.cfg\n@@ -1,2 +1,2 @@\n [fan]\n-pin: PA1\n+pin: PA2\n",
        "this is a patch",
    ),
    "print job": (b"; sliced\n" + MOVES, "this is a slicer's output"),
    "cut-off UTF-16": (
        codecs.BOM_UTF16_LE + CLEAN["section"].decode().encode("utf-16-le")[:-1],
        "the text is damaged",
    ),
}


@pytest.mark.parametrize("kind", NAMED)
def test_an_odd_file_is_named_for_what_it_is(
    kind: str, tmp_path: Path, run: Callable[..., Any]
) -> None:
    """What is no configuration ends as such, by its name and by what it is."""
    data, words = NAMED[kind]
    (tmp_path / "machine.cfg").write_bytes(data)
    ran = run("check", "--demo", tmp_path / "machine.cfg")
    assert ran.code == 2
    assert words in ran.said
    assert "machine.cfg" in ran.err


ENCODED: dict[str, Callable[[str], bytes]] = {
    "UTF-8 with a mark": lambda text: codecs.BOM_UTF8 + text.encode(),
    "UTF-16 little": lambda text: codecs.BOM_UTF16_LE + text.encode("utf-16-le"),
    "UTF-16 big": lambda text: codecs.BOM_UTF16_BE + text.encode("utf-16-be"),
    "UTF-16 without a mark": lambda text: text.encode("utf-16-le"),
    "UTF-32": lambda text: codecs.BOM_UTF32_LE + text.encode("utf-32-le"),
    "CRLF": lambda text: text.replace("\n", "\r\n").encode(),
    "CR alone": lambda text: text.replace("\n", "\r").encode(),
    "CR alone in UTF-16": lambda text: text.replace("\n", "\r").encode("utf-16"),
    "all line ends": lambda text: text.replace("\n", "\r", 30).replace("\n", "\r\n", 9).encode(),
    "mixed line ends": lambda text: text.replace("\n", "\r\n", 20).encode(),
    "no last line end": lambda text: text.rstrip("\n").encode(),
    "Latin-1": lambda text: text.encode() + "; gr\xfcn\n".encode("latin-1"),
}


@pytest.mark.parametrize("encoding", ENCODED)
@pytest.mark.parametrize("style", CLEAN)
def test_the_same_text_in_any_encoding_is_the_same_configuration(style: str, encoding: str) -> None:
    """Encodings and line ends change neither the style nor the settings."""
    text = CLEAN[style].decode()
    plain = api.claims(api.load_configuration_bytes(text.encode(), "m"))[0]
    (found,), _ = machines(gather_bytes("m", ENCODED[encoding](text)))
    spots = [(c.role, c.attribute, c.value) for c in api.claims(found)[0].all]
    assert found.style == style
    assert spots == [(c.role, c.attribute, c.value) for c in plain.all]


MERGE = {
    "define": ("#define TEMP_SENSOR_0 5\n", "#define TEMP_SENSOR_0 11\n"),
    "section": ("[fan]\npin: PB6\n", "[fan]\npin: PB7\n"),
    "gcode": ('M950 F0 C"fan1"\n', 'M950 F0 C"fan2"\n'),
}


@pytest.mark.parametrize("style", CLEAN)
def test_an_unsettled_merge_is_said_and_the_rest_is_read(style: str) -> None:
    """Conflict marks are named once or for each mark, and the lines around them still count."""
    mine, yours = MERGE[style]
    merge = f"<<<<<<< mine\n{mine}=======\n{yours}>>>>>>> yours\n"
    machine = api.load_configuration_bytes(merge.encode() + CLEAN[style], "m")
    claims, problems = api.claims(machine)
    assert machine.style == style
    assert any("merge" in problem.message for problem in problems)
    assert len(claims.all) > 5


@pytest.mark.parametrize("style", CLEAN)
@pytest.mark.parametrize("share", [0.2, 0.4, 0.5, 0.61, 0.83, 0.97])
def test_a_cut_off_file_is_read_as_far_as_it_goes(style: str, share: float) -> None:
    """A cut in the middle of anything costs at most one problem at the end, and no setting."""
    whole = CLEAN[style]
    cut = whole[: int(len(whole) * share)]
    before = cut[: cut.rindex(b"\n") + 1]
    full, _ = api.claims(api.load_configuration_bytes(before, "m", style=style))
    some, problems = api.claims(api.load_configuration_bytes(cut, "m", style=style))
    last = cut.count(b"\n") + 1
    known = {(c.role, c.attribute) for c in some.all if c.setting}
    assert {(c.role, c.attribute) for c in full.all if c.setting} <= known
    assert sum(p.span is not None and p.span.line >= last - 1 for p in problems) <= 1


BROKEN = {
    "define": "#defien FAN_PIN 9\n#if (\n#endif\n#define\n",
    "section": "[fan\npin PA1\nkey\n]\n",
    "gcode": 'M106 P{1+\nthis is no line\nM308 S0 P"temp\n',
}


@pytest.mark.parametrize("style", CLEAN)
def test_broken_lines_never_hide_the_rest(style: str) -> None:
    """Each broken line is told with its place, and nothing around it is lost."""
    lines = CLEAN[style].decode().splitlines(keepends=True)
    middle = next(n for n in range(len(lines) // 2, len(lines)) if not lines[n].strip())
    text = "".join((*lines[:middle], "\n", BROKEN[style], *lines[middle:]))
    before, _ = api.claims(api.load_configuration_bytes(CLEAN[style], "m"))
    after, problems = api.claims(api.load_configuration_bytes(text.encode(), "m"))
    spots = {(c.role, c.attribute) for c in after.all}
    assert {(c.role, c.attribute) for c in before.all} <= spots
    told = [p for p in problems if p.span]
    assert len(told) == len({(p.span, p.message) for p in told})
    assert {p.span.line - middle - 1 for p in told if p.span} <= set(range(1, 5))
    assert len(told) >= 2


def test_several_machines_are_told_apart() -> None:
    """Two styles in one heap are two machines, and neither is guessed at."""
    from hostile_cases.handed import zipped

    data = zipped([("a/machine.h", CLEAN["define"]), ("b/machine.cfg", CLEAN["section"])])
    with pytest.raises(UnreadableError, match="two machines here"):
        api.load_configuration_bytes(data, "both.zip")


def test_a_name_of_endless_length_is_cut(run: Callable[..., Any], tmp_path: Path) -> None:
    """A member of an archive, and a path on the command line: told in a line or two."""
    packed = tmp_path / "machine.zip"
    with ZipFile(packed, "w") as archive:
        archive.writestr("a/" * 20_000 + "machine.cfg", "[printer]\nkinematics: corexy\n")
        archive.writestr("machine.cfg", "[printer]\nkinematics: corexy\n[fan]\npin: PB7\n")
    found = run("check", packed, *WIRING)
    assert "its name has 40,011 characters; expected at most 500" in found.said
    assert len(found.out) < 20_000
    for words in (
        ["check", "b" * 50_000, *WIRING],
        ["c" * 50_000],
        ["check", "--d" + "e" * 50_000],
    ):
        assert len(run(*words).said) < 4_000

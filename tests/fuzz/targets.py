"""What is fuzzed: each target takes bytes, and may end in nothing but the errors that it names."""

import io
import shutil
import tarfile
import tempfile
import zipfile
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path

from attrs import frozen

from pincheck import api
from pincheck.batch import assign, manifest
from pincheck.check import check
from pincheck.claims import claims, vocabulary
from pincheck.edits.patch import diff
from pincheck.intake import gather_bytes, machines, read
from pincheck.model.problem import UnreadableError
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.source import Source
from pincheck.netlist.make import make
from pincheck.netlist.read import netlist_of, resistors_of
from pincheck.netlist.report import board_report
from pincheck.reports import json, text
from pincheck.toml.document import parse
from pincheck.wiring import load, load_board
from pincheck.writing.change import WriteRefusedError
from pincheck.writing.journal import NAME
from pincheck.writing.mend import mend

FILES: dict[StyleName, str] = {
    "define": "Configuration.h",
    "section": "printer.cfg",
    "gcode": "config.g",
}
_KEPT = tempfile.TemporaryDirectory(prefix="pincheck-fuzz-")
SCRATCH = Path(_KEPT.name)
ASSEMBLY = api.load_wiring(api.demo("marsh-230-c.toml"))
OFFER = assign.offer([api.demo("")])
ALLOWED = (UnreadableError, WriteRefusedError)


@frozen
class Target:
    """What takes the bytes, and small inputs to begin with."""

    run: Callable[[bytes], object]
    seeds: Callable[[], Iterable[bytes]]


def _configuration(style: StyleName) -> Target:
    def run(data: bytes) -> None:
        for machine in machines(gather_bytes(FILES[style], data), style)[0]:
            claims(read(machine), ASSEMBLY)

    def seeds() -> Iterable[bytes]:
        for kind in ("clean", "planted"):
            for path in sorted((api.demo(kind) / style).iterdir()):
                yield path.read_bytes()

    return Target(run, seeds)


def _edits(data: bytes) -> None:
    """The first byte chooses the style; everything that a command says or would write is made."""
    style = STYLES[data[0] % len(STYLES)] if data else STYLES[0]
    for machine in machines(gather_bytes(FILES[style], data[1:]), style)[0]:
        result = check(read(machine), ASSEMBLY)
        proposals = api.propose(result)
        trial = api.try_edits(machine, ASSEMBLY, [p for p in proposals if p.safe][:6])
        list(diff(machine.sources, trial.machine.sources))
        list(text.text(result, proposals))
        json.document(result, proposals)


def _edits_seeds() -> Iterable[bytes]:
    for at, style in enumerate(STYLES):
        for seed in TARGETS[style].seeds():
            yield bytes([at]) + seed


def _words(data: bytes) -> None:
    """The first byte chooses the style; what is taken is used on the demo."""
    style = STYLES[data[0] % len(STYLES)] if data else STYLES[0]
    written = data[1:].decode("utf-8", "replace")
    words = vocabulary(style, [Source.of_text("fork.toml", written)])
    for seed in TARGETS[style].seeds():
        for machine in machines(gather_bytes(FILES[style], seed), style)[0]:
            result = check(read(machine), ASSEMBLY, words)
            api.propose(result, words)


def _words_seeds() -> Iterable[bytes]:
    for at, style in enumerate(STYLES):
        lines = (api.demo("").parent / "grammars" / f"{style}.toml").read_text().splitlines()
        rows = [line for line in lines if line.startswith("    {")]
        for first in range(0, len(rows), 12):
            some = "\n".join(rows[first : first + 12])
            yield bytes([at]) + f'style = "{style}"\nentries = [\n{some}\n]\n'.encode()


def _wiring(data: bytes) -> None:
    """The first byte chooses: an assembly beside the demo's boards, or a board."""
    file = SCRATCH / "machine.toml"
    if not (SCRATCH / "boards").exists():
        shutil.copytree(api.demo("boards"), SCRATCH / "boards")
    file.write_bytes(data[1:])
    if data[:1] and data[0] % 2:
        load_board(file)
    else:
        api.trace(load(file))


def _wiring_seeds() -> Iterable[bytes]:
    for path in sorted(api.demo("").glob("*.toml")):
        yield b"\0" + path.read_bytes()
    for path in sorted(api.demo("boards").glob("*.toml")):
        yield b"\1" + path.read_bytes()


def _archive(data: bytes) -> None:
    for machine in machines(gather_bytes("upload", data))[0]:
        read(machine)


def _archive_seeds() -> Iterable[bytes]:
    for mode in ("w", "w:gz", "w:bz2", "w:xz"):
        packed = io.BytesIO()
        with tarfile.open(fileobj=packed, mode=mode) as archive:
            info = tarfile.TarInfo("machine/printer.cfg")
            info.size = 8
            archive.addfile(info, io.BytesIO(b"[mcu]\n#\n"))
        yield packed.getvalue()
    for method in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w", method) as folder:
            folder.writestr("machine/printer.cfg", "[mcu]\n")
        yield packed.getvalue()


def _manifest(data: bytes) -> None:
    file = SCRATCH / "list.csv"
    file.write_bytes(data)
    manifest.read(file)


def _assignment(data: bytes) -> None:
    file = SCRATCH / "rules.toml"
    file.write_bytes(data)
    assign.rules(file, OFFER)


def _toml(data: bytes) -> None:
    parse(Source.of_text("any.toml", data.decode("utf-8", "replace")))


def _journal(data: bytes) -> None:
    folder = SCRATCH / "mended"
    folder.mkdir(exist_ok=True)
    (folder / NAME).write_bytes(data)
    mend([folder])


def _netlist(data: bytes) -> None:
    """A netlist to a board file, and against a board; what follows a form feed is a parts list."""
    text, _, listed = data.decode("utf-8", "replace").partition("\f")
    read = netlist_of(Source.of_text("board.ipc", text))
    parts = resistors_of(Source.of_text("parts.csv", listed)) if listed else {}
    board_report(read, load_board(api.demo("boards/lapwing-c.toml")), "board.toml", {}, parts)
    make(read, {}, parts, "Lapwing")


def _netlist_seeds() -> Iterable[bytes]:
    records = [
        "P  JOB   Lapwing",
        "P  NNAME1  A_LONG_NAME_OF_A_NET",
        "317NNAME1           J1    -1    D0400PA00X+001000Y+005000",
        "017                             D0400PA00X+001000Y+006000",
        "327GND              R1    -2          A01X+001000Y+007000",
        "999",
    ]
    yield "\n".join(records).encode()
    yield b'net;reference;pin\r\n24V;J1;1\r\nTH0;R1;1\r\n3V3;R1;2\fref,value\n"R1,R2",4k7 1%\n'


TARGETS: dict[str, Target] = {
    **{style: _configuration(style) for style in STYLES},
    "edits": Target(_edits, _edits_seeds),
    "words": Target(_words, _words_seeds),
    "wiring": Target(_wiring, _wiring_seeds),
    "archive": Target(_archive, _archive_seeds),
    "manifest": Target(
        _manifest,
        lambda: (
            b'id,path,assembly,note\nA-1,a.zip,marsh-230-c,"5"" fan"\n',
            b'{"id": 7, "path": "a", "note": "x"}\n{"id": "8", "path": "b"}\n',
            b"id;path\r\n1;a\r2;b\r",
        ),
    ),
    "assignment": Target(
        _assignment,
        lambda: (b'[[assign]]\nassembly = "marsh-230-c"\npath = "a/*"\nstyle = "section"\n',),
    ),
    "netlist": Target(_netlist, _netlist_seeds),
    "toml": Target(_toml, lambda: (b'a = 1\n[b.c]\nd = [1, "x", { e = 2.5 }]\n',)),
    "journal": Target(
        _journal,
        lambda: (b"pincheck: files of this folder were being written (journal, form 1)\n",),
    ),
}


def take(name: str, data: bytes) -> None:
    """Run a target; what it may refuse is no trouble, everything else is raised."""
    with suppress(*ALLOWED):
        TARGETS[name].run(data)

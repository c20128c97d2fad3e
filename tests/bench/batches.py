"""Synthetic batches from a seed: clean and faulty configurations in all styles, hostile files.

Every submission starts from the demo's clean configuration of a style, gets what makes people's
files differ (comments, other line ends, blank lines, an archive around them) and, by chance, one
planted fault. The finding that each must come to is stated beside it. Writes a batch:

    python tests/bench/batches.py FOLDER --count 2000 --seed 1
"""

import argparse
import gzip
import io
import json
import os
import random
import tarfile
import zipfile
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

from attrs import asdict, evolve, frozen

from pincheck import api
from pincheck.batch.assign import MARKER
from pincheck.model.setting import STYLES, StyleName

ASSEMBLY = "marsh-230-c"
HOSTILE_SHARE = 0.025
FAULTY_SHARE = 0.5
_IN_ZIP = "machine/"

Files = dict[str, bytes]


@frozen
class Fault:
    """What to replace in a file of a style, and the one finding that must come of it.

    The finding points to the replaced line, or to the one with the text `at`.
    """

    style: StyleName
    file: str
    old: str
    new: str
    rule: str
    at: str = ""

    def planted(self, text: str) -> str:
        """Return the file's text with the fault in it.

        Raises:
            ValueError: what is to be replaced is not there, or not once.
        """
        if text.count(self.old) != 1:
            raise ValueError(f"{self.file}: {self.old!r} must be there once")
        return text.replace(self.old, self.new)

    def finding(self, text: str) -> "Found":
        """Return the finding that the planted text must come to."""
        at = self.at or self.new
        if text.count(at) != 1:
            raise ValueError(f"{self.file}: {at!r} must be there once")
        return self.rule, self.file, text.count("\n", 0, text.index(at)) + 1


Found = tuple[str, str, int]
"""Rule, file and line of a finding."""


@frozen
class Made:
    """One submission of a batch: its name and what must come of it.

    `findings` are those of the planted fault, none for a clean one; `hostile` names what is wrong
    with one that must come to no result.
    """

    name: str
    findings: tuple[Found, ...] = ()
    hostile: str = ""

    def wrong(self, record: Mapping[str, Any]) -> str:
        """Return how a batch's record differs from what must come of it; empty if it does not."""
        found = sorted(
            (f["rule"], f["place"]["file"], f["place"]["line"]) for f in record["findings"]
        )
        if found != sorted(self.findings):
            return f"{self.name}: {found} is not {sorted(self.findings)}"
        if (record["state"] == "could not check") != bool(self.hostile):
            return f"{self.name} ({self.hostile or 'not hostile'}): {record['state']}"
        return ""


_THRESHOLD = "EXTRUDER_AUTO_FAN_TEMPERATURE 50"
_TOO_LATE = "hotend-fan-threshold-high"
_UPRIGHT = "Z_MIN_PROBE_ENDSTOP_INVERTING false"
_PROTECTED = "#define THERMAL_PROTECTION_HOTENDS"


FAULTS: tuple[Fault, ...] = (
    # Hot-end sensor read by the table of another part.
    Fault("define", "machine.h", "TEMP_SENSOR_0 5", "TEMP_SENSOR_0 11", "sensor-table-differs"),
    Fault("section", "toolhead.cfg", "ATC Semitec 104GT-2", "Generic 3950", "sensor-table-differs"),
    Fault("gcode", "toolhead.g", "B4725 C7.06e-8", "B3950", "sensor-table-differs"),
    # Limit above what the liner stands.
    Fault("define", "machine.h", "MAXTEMP 270", "MAXTEMP 315", "heater-limit-too-high"),
    Fault("section", "toolhead.cfg", "max_temp: 255", "max_temp: 300", "heater-limit-too-high"),
    Fault("gcode", "toolhead.g", "M143 H1 S255", "M143 H1 S300", "heater-limit-too-high"),
    # Part fan left where the revision before had it.
    Fault("define", "machine.h", "REVISION 3", "REVISION 2", "pin-differs", "FAN_PIN PB7"),
    Fault("section", "toolhead.cfg", "pin: PB8", "pin: PB7", "pin-differs"),
    Fault("gcode", "toolhead.g", 'F0 C"fan2"', 'F0 C"fan1"', "pin-differs"),
    # Hot-end fan that starts when the throat is long hot.
    Fault("define", "machine_adv.h", _THRESHOLD, f"{_THRESHOLD[:-2]}150", _TOO_LATE),
    Fault("section", "toolhead.cfg", "heater_temp: 50.0", "heater_temp: 150.0", _TOO_LATE),
    Fault("gcode", "toolhead.g", "H1 T50 C", "H1 T150 C", _TOO_LATE),
    # Probe's signal upside down.
    Fault("define", "machine.h", _UPRIGHT, _UPRIGHT.replace("false", "true"), "probe-polarity"),
    Fault("section", "toolhead.cfg", "sensor_pin: ^PB1", "sensor_pin: ^!PB1", "probe-polarity"),
    Fault("gcode", "toolhead.g", 'C"^probe"', 'C"^!probe"', "probe-polarity"),
    # What only some styles can express.
    Fault("define", "machine.h", _PROTECTED, f"//{_PROTECTED}", "protection-off"),
    Fault("section", "toolhead.cfg", "control_pin: PA1", "control_pin: PA2", "pin-differs"),
)


def make(
    folder: Path, count: int, seed: int, padding: bool = False, hostile: int | None = None
) -> Iterator[Made]:
    """Write `count` submissions into `folder` and yield what must come of each.

    `padding` blows files up to the sizes that people's files have; `hostile` says how many are
    hostile, by default one in forty.
    """
    chance = random.Random(seed)
    folder.mkdir(parents=True, exist_ok=True)
    wanted = round(count * HOSTILE_SHARE) if hostile is None else hostile
    bad = set(chance.sample(range(count), wanted))
    kinds = sorted(HOSTILE)
    for number in range(count):
        name = f"ticket-{number:05}"
        if number in bad:
            kind = kinds[len(kinds) * sum(n < number for n in bad) // max(1, wanted)]
            yield Made(HOSTILE[kind](folder, name, chance), hostile=kind)
            continue
        style = STYLES[number % len(STYLES)]
        faults = [fault for fault in FAULTS if fault.style == style]
        fault = chance.choice(faults) if chance.random() < FAULTY_SHARE else None
        files = _varied(style, fault, chance, padding)
        pack = chance.choices((_folder, _zip, _tar), (6, 2, 2))[0]
        made = Made(pack(folder, name, files))
        if fault:
            rule, file, line = fault.finding(files[fault.file].decode("utf-8-sig"))
            file = _IN_ZIP + file if pack is _zip else file
            made = evolve(made, findings=((rule, file, line),))
        yield made


def _varied(style: StyleName, fault: Fault | None, chance: random.Random, padding: bool) -> Files:
    files = {}
    source = api.demo("clean") / style
    for path in sorted(source.iterdir()):
        text = path.read_text(encoding="utf-8")
        if fault and fault.file == path.name:
            text = fault.planted(text)
        mark = {"define": "//", "section": "#", "gcode": ";"}[style]
        text = f"{mark} sent in as number {chance.randrange(10**9)}\n{text}"
        if padding:
            text += "".join(_padding(style, path.name, chance))
        text += "\n" * chance.randrange(4)
        if chance.random() < 0.3:
            text = text.replace("\n", "\r\n")
        files[path.name] = text.encode("utf-8-sig" if chance.random() < 0.1 else "utf-8")
    files[MARKER] = f"{ASSEMBLY}\n".encode()
    return files


def _padding(style: StyleName, name: str, chance: random.Random) -> Iterator[str]:
    """Yield lines that no rule is about, in the numbers of people's own files."""
    if style == "define":
        for number in range(1_200):
            yield f"//#define MENU_COLOUR_{number} {chance.randrange(256)}\n"
            yield f"#define MENU_ROW_{number} {chance.randrange(256)}  // shown on the display\n"
            if number % 8 == 0:
                yield f"#if ENABLED(MENU_PAGE_{number})\n  #define MENU_LAST {number}\n#endif\n"
    elif style == "section" and name == "toolhead.cfg":
        for number in range(120):
            yield f"\n[gcode_macro PARK_{number}]\ngcode:\n"
            yield from (f"    G1 X{chance.randrange(230)} F6000\n" for _ in range(8))
    elif style == "gcode" and name == "toolhead.g":
        yield from (f"; G1 X{chance.randrange(230)} F6000\n" for _ in range(400))


def _folder(folder: Path, name: str, files: Files) -> str:
    (folder / name).mkdir()
    for file, data in files.items():
        (folder / name / file).write_bytes(data)
    return name


def _zip(folder: Path, name: str, files: Files) -> str:
    with zipfile.ZipFile(folder / f"{name}.zip", "w", zipfile.ZIP_DEFLATED) as archive:
        for file, data in files.items():
            archive.writestr(zipfile.ZipInfo(_IN_ZIP + file), data)
    return f"{name}.zip"


def _tar(folder: Path, name: str, files: Files) -> str:
    packed = io.BytesIO()
    with tarfile.open(fileobj=packed, mode="w") as archive:
        for file, data in files.items():
            about = tarfile.TarInfo(file)
            about.size = len(data)
            archive.addfile(about, io.BytesIO(data))
    (folder / f"{name}.tar.gz").write_bytes(gzip.compress(packed.getvalue(), 1, mtime=0))
    return f"{name}.tar.gz"


def _file(folder: Path, name: str, data: bytes) -> str:
    (folder / name).write_bytes(data)
    return name


def _escaping_tar(folder: Path, name: str, _: random.Random) -> str:
    return _tar(folder, name, {"../../outside.cfg": b"[printer]\n[extruder]\n"})


def _zip_bomb(folder: Path, name: str, _: random.Random) -> str:
    return _zip(folder, name, {f"{n}.cfg": bytes(2_000_000) for n in range(20)})


def _link_out(folder: Path, name: str, _: random.Random) -> str:
    (folder / name).symlink_to("/etc")
    return name


def _link_to_itself(folder: Path, name: str, _: random.Random) -> str:
    (folder / name).symlink_to(name)
    return name


def _pipe(folder: Path, name: str, _: random.Random) -> str:
    os.mkfifo(folder / name)
    return name


def _wrong_marker(folder: Path, name: str, chance: random.Random) -> str:
    files = _varied("section", None, chance, False)
    return _folder(folder, name, {**files, MARKER: b"../../../etc/passwd\n"})


def _two_machines(folder: Path, name: str, chance: random.Random) -> str:
    files = _varied("define", None, chance, False) | _varied("gcode", None, chance, False)
    return _folder(folder, name, files)


HOSTILE: dict[str, Callable[[Path, str, random.Random], str]] = {
    "binary": lambda folder, name, chance: _file(folder, f"{name}.cfg", chance.randbytes(9_999)),
    "blank": lambda folder, name, _: _file(folder, f"{name}.cfg", b""),
    "damaged archive": lambda folder, name, _: _file(
        folder, f"{name}.zip", b"PK\x03\x04" + b"x" * 99
    ),
    "empty folder": lambda folder, name, _: _folder(folder, name, {}),
    "escaping archive": _escaping_tar,
    "link out": _link_out,
    "link to itself": _link_to_itself,
    "nothing but NUL": lambda folder, name, _: _file(folder, f"{name}.g", bytes(4_096)),
    "picture": lambda folder, name, _: _file(
        folder, f"{name}.cfg", b"\x89PNG\r\n\x1a\n" + bytes(99)
    ),
    "pipe": _pipe,
    "prose": lambda folder, name, _: _file(folder, f"{name}.txt", b"my printer is broken, help\n"),
    "too large": lambda folder, name, _: _file(folder, f"{name}.cfg", b"[printer]\n" * 300_000),
    "two machines": _two_machines,
    "web page": lambda folder, name, _: _file(
        folder, f"{name}.cfg", b"<!DOCTYPE html>\n<html><body>"
    ),
    "wrong marker": _wrong_marker,
    "zip bomb": _zip_bomb,
}
"""What comes in besides configurations; each must end as "could not check"."""


def main() -> None:
    """Write a batch and, as JSON Lines on standard output, what must come of it."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--count", type=int, default=2_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--padding", action="store_true")
    args = parser.parse_args()
    for made in make(args.folder, args.count, args.seed, args.padding):
        print(json.dumps(asdict(made)))


if __name__ == "__main__":
    main()

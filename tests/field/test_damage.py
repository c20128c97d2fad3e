"""Damaged files, from fixed seeds: a clear answer or a clear refusal, never a failure."""

import random
import re
from pathlib import Path
from shutil import copytree

import pytest
from plant import MACHINES, names

from pincheck.api import check, load_configuration, load_wiring, propose
from pincheck.model.problem import UnreadableError

SEEDS = 3
_SCRAPS = (
    b"#", b"!", b"^", b"{", b"}", b"(", b")", b'"', b"/*", b"*/", b"\\", b":", b",", b"-1", b"nan",
    b"9" * 40, b"1e999", b"-", b"[", b"]", b";", b"//", b"0x", b"=", b"%", b"'", b"\x00", b"\xc3",
)  # fmt: skip
_NUMBERS = (b"0", b"-1", b"1e9", b"9" * 20, b"-273.2", b"0.0000001", b"nan", b"")


def damaged(draw: random.Random, data: bytes) -> bytes:
    """Return a file with a few lines lost, doubled, cut, exchanged or written over."""
    lines = data.splitlines(keepends=True)
    for _ in range(draw.randint(1, 5)):
        if not lines:
            return b""
        at, other = draw.randrange(len(lines)), draw.randrange(len(lines))
        line = lines[at]
        cut = draw.randrange(len(line) + 1)
        match draw.randrange(8):
            case 0:
                del lines[at]
            case 1:
                lines.insert(at, line)
            case 2:
                lines = lines[: at + 1]
            case 3:
                lines[at], lines[other] = lines[other], line
            case 4:
                lines[at] = line[:cut] + bytes([draw.randrange(256)]) + line[cut + 1 :]
            case 5:
                lines[at] = line[:cut] + draw.choice(_SCRAPS) + line[cut:]
            case 6:
                lines[at] = re.sub(rb"-?\d+\.?\d*", draw.choice(_NUMBERS), line, count=1)
            case 7:
                mine, theirs = line.split(), lines[other].split()
                if mine and theirs:
                    lines[at] = line.replace(mine[-1], theirs[-1])
    return b"".join(lines)


@pytest.mark.parametrize("what", ["configuration", "wiring"])
@pytest.mark.parametrize("name", names())
def test_a_damaged_file_ends_in_an_answer_or_a_refusal(
    name: str, what: str, tmp_path: Path
) -> None:
    for seed in range(SEEDS):
        draw = random.Random(f"{name} {what} {seed}")
        root = tmp_path / str(seed)
        copytree(MACHINES / name, root)
        inside = root.rglob("*.toml") if what == "wiring" else (root / "config").rglob("*")
        files = sorted(p for p in inside if p.is_file() and p.name != "faults.toml")
        for _ in range(draw.randint(1, 2)):
            file = draw.choice(files)
            file.write_bytes(damaged(draw, file.read_bytes()))
        try:
            machine = load_configuration(root / "config")
            result = check(machine, load_wiring(root / "assembly.toml"))
        except UnreadableError as refusal:
            told = [str(problem) for problem in refusal.problems]
        else:
            told = [finding.message for finding in result.findings]
            assert len(propose(result)) == len(result.findings)
        assert all(told)

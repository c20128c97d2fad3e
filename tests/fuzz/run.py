"""Fuzz targets with atheris: python tests/fuzz/run.py [TARGET ...] [--minutes 5]

Each target runs for the given time in a process of its own, or until it finds something: the
input is kept beside the temporary corpus, and the exception is printed.
"""

import argparse
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.append(str(Path(__file__).parent))

INSTRUMENTED = ["pincheck", "tarfile", "zipfile", "gzip", "bz2", "lzma", "tomllib", "csv"]


def fuzz(name: str, minutes: float, folder: Path) -> None:
    """Fuzz one target; does not return."""
    import atheris

    with atheris.instrument_imports(include=INSTRUMENTED):
        import targets

    corpus = folder / "corpus"
    corpus.mkdir(parents=True, exist_ok=True)
    for number, seed in enumerate(targets.TARGETS[name].seeds()):
        (corpus / f"seed-{number}").write_bytes(seed)
    options = [
        f"-max_total_time={round(minutes * 60)}",
        "-timeout=30",
        "-rss_limit_mb=3000",
        f"-artifact_prefix={folder}/",
        "-print_final_stats=1",
    ]
    atheris.Setup([sys.argv[0], *options, str(corpus)], lambda data: targets.take(name, data))
    atheris.Fuzz()


def main() -> int:
    """Fuzz every target that is named, or all; return 1 where one found something."""
    sys.path.insert(0, str(Path(__file__).parents[2]))
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("targets", nargs="*", metavar="TARGET")
    parser.add_argument("--minutes", type=float, default=5.0)
    parser.add_argument("--folder", type=Path, help="where the corpus grows and finds are kept")
    parser.add_argument("--here", action="store_true", help=argparse.SUPPRESS)
    args = parser.parse_args()
    folder = args.folder or Path(tempfile.mkdtemp(prefix="pincheck-fuzz-"))
    if args.here:
        fuzz(args.targets[0], args.minutes, folder / args.targets[0])
    import targets

    found = []
    for name in args.targets or targets.TARGETS:
        print(f"== {name}, {args.minutes:g} minutes, in {folder / name}", flush=True)
        words = [sys.executable, __file__, name, "--here", "--minutes", str(args.minutes)]
        if subprocess.run([*words, "--folder", str(folder)], check=False).returncode:
            found.append(name)
    print(f"found something: {', '.join(found) or 'nothing'}")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())

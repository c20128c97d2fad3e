"""Every reference of a release folder against its assembly, for people and pipelines."""

import argparse
from pathlib import Path

from pincheck.cli import base


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "release", help="check a release folder before it goes out", description=__doc__
    )
    parser.add_argument(
        "folder",
        nargs="?",
        type=Path,
        default=Path(),
        metavar="FOLDER",
        help="assemblies and boards as TOML files, references in reference/NAME/STYLE; "
        "default: the current folder",
    )
    base.add_words(parser)
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Check and return the exit code: 1 for findings and gaps, 2 for what cannot be read."""
    from pincheck.maker import release_json, release_text
    from pincheck.maker.release import release

    if not args.folder.is_dir():
        raise base.CannotCheckError(f"{args.folder.name!r} is no folder")
    base.mend(args.folder)
    found = release(args.folder.resolve(), base.vocabularies_of(args))
    if args.json:
        base.put_json(release_json.record(found))
    else:
        base.say(release_text.lines(found))
    if found.problems or any(cell.state == "unreadable" for cell in found.cells):
        return base.COULD_NOT_CHECK
    return base.FOUND if found.troubles else base.CLEAN

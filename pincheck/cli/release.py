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
    parser.add_argument(
        "--staged",
        action="store_true",
        help="check what is staged in Git, as a commit hook must, not what lies in the folder",
    )
    parser.add_argument(
        "--prove",
        action="store_true",
        help="spoil and remove every line of each reference, too; what goes unseen fails",
    )
    base.add_words(parser)
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Check and return the exit code: 1 for findings and gaps, 2 for what cannot be read."""
    if not args.folder.is_dir():
        raise base.CannotCheckError(f"{args.folder.name!r} is no folder")
    base.mend(args.folder)
    if not args.staged:
        return _check(args, args.folder.resolve())
    from pincheck.maker.staged import NoIndexError, staged

    try:
        with staged(args.folder.resolve()) as folder:
            return _check(args, folder)
    except NoIndexError as error:
        raise base.CannotCheckError(str(error)) from None


def _check(args: argparse.Namespace, folder: Path) -> int:
    from pincheck.maker import release_json, release_text
    from pincheck.maker.release import release

    found = release(folder, base.vocabularies_of(args), prove=args.prove)
    if args.json:
        base.put_json(release_json.record(found))
    else:
        base.say(release_text.lines(found))
    if found.problems or any(cell.state == "unreadable" for cell in found.cells):
        return base.COULD_NOT_CHECK
    return base.FOUND if found.troubles else base.CLEAN

"""What changed between two boards or two assemblies, and what stays drop-in."""

import argparse
from collections.abc import Iterator, Sequence
from pathlib import Path

from pincheck.cli import base


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "revisions", help="compare two boards or two assemblies", description=__doc__
    )
    parser.add_argument("before", type=Path, metavar="BEFORE", help="file of a board or assembly")
    parser.add_argument("after", type=Path, metavar="AFTER", help="file of the same kind")
    parser.add_argument("--markdown", action="store_true", help="print it as Markdown")
    base.add_words(parser)
    base.add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Compare, print, and return the exit code: 1 where anything is no drop-in."""
    from pincheck.wiring.load import wiring_kind

    kinds = [wiring_kind(path) for path in (args.before, args.after)]
    if kinds[0] != kinds[1] or "other" in kinds:
        what = " and ".join(f"{path.name} is {kind}" for path, kind in _named(args, kinds))
        raise base.CannotCheckError(f"two boards or two assemblies can be compared; {what}")
    return _boards(args) if kinds[0] == "board" else _assemblies(args)


def _named(args: argparse.Namespace, kinds: Sequence[str]) -> Iterator[tuple[Path, str]]:
    names = {"board": "a board", "assembly": "an assembly", "other": "neither"}
    yield from zip((args.before, args.after), (names[kind] for kind in kinds), strict=True)


def _boards(args: argparse.Namespace) -> int:
    from pincheck.compare import revision_report
    from pincheck.compare.boards import compare_boards
    from pincheck.wiring import load_board

    found = compare_boards(load_board(args.before), load_board(args.after))
    if args.json:
        base.put_json(revision_report.of_boards(found))
    else:
        base.say(revision_report.board_lines(found))
    same = all(change.state == "same" for change in found.sockets) and not found.settings
    return base.CLEAN if same else base.FOUND


def _assemblies(args: argparse.Namespace) -> int:
    from pincheck import api
    from pincheck.compare import revision_report
    from pincheck.maker.consent import NOT_DROP_IN, consents

    before, after = api.load_wiring(args.before), api.load_wiring(args.after)
    let = consents(args.after.parent)
    if let.problems:
        raise base.CannotCheckError(str(let.problems[0]))
    meant = {
        role: because
        for (what, role), because in let.accepted(args.after.name).items()
        if what == NOT_DROP_IN
    }
    words = base.vocabularies_of(args)
    report = revision_report.revision_report(before, after, words, meant)
    if args.json:
        base.put_json(revision_report.of_assemblies(report))
    else:
        base.say(revision_report.revision_lines(report, markdown=args.markdown))
    return base.CLEAN if report.drop_in else base.FOUND

"""Configurations that agree with an assembly, in every style, or why there is none."""

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import evolve

from pincheck.cli import base
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.source import Source

if TYPE_CHECKING:
    from pincheck.maker.reference import Reference


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "reference", help="generate the configuration that fits the wiring", description=__doc__
    )
    base.add_wiring(parser)
    parser.add_argument("--style", choices=STYLES, help="only this style")
    base.add_main(parser)
    base.add_words(parser)
    parser.add_argument(
        "--into",
        type=Path,
        metavar="FOLDER",
        help="write the files into FOLDER, a folder for each style; without it they are printed",
    )
    parser.add_argument(
        "--replace", action="store_true", help="write over files that say something else"
    )
    parser.add_argument(
        "--onto",
        nargs="+",
        type=Path,
        metavar="CONFIG",
        help="change only what must change in this configuration, and show it as a diff",
    )
    parser.add_argument(
        "--older",
        action="store_true",
        help="spell keys as releases before the current ones do, where they were renamed",
    )
    parser.add_argument("--write", action="store_true", help="with --onto: write the changes")
    parser.add_argument(
        "--prove",
        action="store_true",
        help="spoil and remove every line in turn, and list what would go unseen",
    )


def run(args: argparse.Namespace) -> int:
    """Generate and return the exit code: 1 where a style has no reference."""
    from pincheck.reports.text import wrap

    if args.onto:
        return _onto(args)
    code = base.CLEAN
    made: list[Source] = []
    for style, found in _made(args):
        if isinstance(found, str):
            base.say(wrap(f"{style} style: no reference: {found}"))
            code = base.FOUND
        elif args.prove:
            code = _prove(args, found) or code
        else:
            made += (evolve(it, name=f"{style}/{it.name}") for it in found.machine.sources)
    if args.into:
        _save(args, made)
    for source in () if args.into else made:
        base.say([f"----- {source.name}", source.text.rstrip("\n"), ""])
    return code


def _made(args: argparse.Namespace) -> "Iterator[tuple[StyleName, Reference | str]]":
    """Yield the reference of each style, or why there is none.

    What the release file beside the wiring lets go is no reason against one.
    """
    from pincheck.maker.consent import consents
    from pincheck.maker.reference import reference
    from pincheck.maker.want import CannotExpressError

    wiring = base.wiring_of(args)
    assembly, words = base.assembly_of(args), base.vocabularies_of(args)
    let = consents(wiring.parent)
    if let.problems:
        raise base.CannotCheckError(str(let.problems[0]))
    for style in (args.style,) if args.style else tuple(STYLES):
        try:
            yield (
                style,
                reference(
                    assembly, style, words.get(style), let.accepted(wiring.name), older=args.older
                ),
            )
        except CannotExpressError as error:
            yield style, str(error)


def _save(args: argparse.Namespace, made: list[Source]) -> None:
    from pincheck.maker.files import save
    from pincheck.writing.change import AlreadyThereError

    base.mend(args.into)
    try:
        save(args.into, made, replace=args.replace)
    except AlreadyThereError as error:
        raise base.CannotCheckError(f"{error}; --replace writes over it") from None
    base.say(f"written: {source.name}" for source in made)


def _prove(args: argparse.Namespace, made: "Reference") -> int:
    """Print what becomes of each spoilt line and return 1 where one goes unseen."""
    from pincheck.maker import proof_text
    from pincheck.maker.proof import proof

    found = proof(made, base.vocabularies_of(args).get(made.style))
    base.say(proof_text.lines(found))
    return base.FOUND if found.unseen else base.CLEAN


def _onto(args: argparse.Namespace) -> int:
    from pincheck import api
    from pincheck.edits.patch import diff
    from pincheck.maker.onto import onto
    from pincheck.reports.sentences import headline
    from pincheck.reports.text import findings_lines, reading_lines, wrap

    assembly = base.assembly_of(args)
    machine = base.load(args, *args.onto)
    if args.write:
        api.require_writable(machine)
    made = onto(machine, assembly, base.vocabulary_of(args, machine.style))
    after, result = made.trial.machine, made.trial.result
    result = evolve(result, problems=(*machine.problems, *result.problems))
    base.say(diff(made.before.sources, after.sources))
    for proposal in made.trial.applied:
        base.say(wrap(f"- {proposal.note}"))
    for proposal in made.unsafe:
        base.say(wrap(f"- left for you to choose (pincheck edits): {proposal.note}"))
    base.say(reading_lines(result))
    if args.write:
        base.require_read(result)
    if made.before.sources == after.sources:
        base.say(["No line has to change."])
    elif args.write:
        base.say(f"written: {path.name}" for path in api.write(made.before, after))
    else:
        base.say(["Nothing was written; add --write to write it."])
    base.say(wrap(f"After that: {headline(result)}"))
    base.say(findings_lines(enumerate(result.findings, 1)))
    return base.code_of(result)

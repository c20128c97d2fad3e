"""Configurations that agree with an assembly, in every style, or why there is none."""

import argparse
from pathlib import Path

from attrs import evolve

from pincheck.cli import base
from pincheck.model.setting import STYLES, StyleName
from pincheck.model.source import Source


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
    parser.add_argument("--write", action="store_true", help="with --onto: write the changes")
    parser.add_argument(
        "--prove",
        action="store_true",
        help="spoil and remove every line in turn, and list what would go unseen",
    )


def run(args: argparse.Namespace) -> int:
    """Generate and return the exit code: 1 where a style has no reference."""
    from pincheck.maker.want import CannotExpressError

    if args.onto:
        return _onto(args)
    if args.prove:
        return _prove(args)
    assembly, words = base.assembly_of(args), base.vocabularies_of(args)
    code = base.CLEAN
    made: list[Source] = []
    styles: tuple[StyleName, ...] = (args.style,) if args.style else tuple(STYLES)
    for style in styles:
        from pincheck.maker.reference import reference

        try:
            sources = reference(assembly, style, words.get(style)).machine.sources
        except CannotExpressError as error:
            from pincheck.reports.text import wrap

            base.say(wrap(f"{style} style: no reference: {error}"))
            code = base.FOUND
            continue
        for source in sources:
            made.append(evolve(source, name=f"{style}/{source.name}"))
            if not args.into:
                base.say([f"----- {made[-1].name}", source.text.rstrip("\n"), ""])
    if args.into:
        from pincheck.maker.files import save
        from pincheck.writing.change import AlreadyThereError

        base.mend(args.into)
        try:
            save(args.into, made, replace=args.replace)
        except AlreadyThereError as error:
            raise base.CannotCheckError(f"{error}; --replace writes over it") from None
        base.say(f"written: {source.name}" for source in made)
    return code


def _prove(args: argparse.Namespace) -> int:
    """Print what becomes of each spoilt line and return 1 where one goes unseen."""
    from pincheck.maker import proof_text
    from pincheck.maker.proof import proof
    from pincheck.maker.reference import reference
    from pincheck.maker.want import CannotExpressError

    assembly, words = base.assembly_of(args), base.vocabularies_of(args)
    code = base.CLEAN
    for style in (args.style,) if args.style else tuple(STYLES):
        try:
            made = reference(assembly, style, words.get(style))
        except CannotExpressError as error:
            base.say([f"{style} style: no reference: {error}"])
            code = base.FOUND
            continue
        found = proof(made, words.get(style))
        base.say(proof_text.lines(found))
        code = base.FOUND if found.unseen else code
    return code


def _onto(args: argparse.Namespace) -> int:
    from pincheck import api
    from pincheck.edits.patch import diff
    from pincheck.maker.onto import onto
    from pincheck.reports.sentences import headline
    from pincheck.reports.text import finding_lines, reading_lines, wrap

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
    for number, finding in enumerate(result.findings, 1):
        base.say(["", *finding_lines(finding, number)])
    return base.code_of(result)

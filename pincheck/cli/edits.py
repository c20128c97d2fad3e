"""Show the suggested edits as a diff, or write the chosen ones."""

import argparse
from pathlib import Path

from pincheck.cli import base
from pincheck.model.finding import Proposal


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "edits", help="show or write the suggested edits", description=__doc__
    )
    base.add_configuration(parser)
    parser.add_argument(
        "--take",
        metavar="N[,N...]",
        help="only the edits of these findings, by their number in the report",
    )
    to = parser.add_mutually_exclusive_group()
    to.add_argument(
        "--write", action="store_true", help="write them; without this nothing is changed"
    )
    to.add_argument(
        "--undo", action="store_true", help="write back what the last edits here replaced"
    )
    to.add_argument(
        "--into",
        type=Path,
        metavar="FOLDER",
        help="write a copy with the edits made into FOLDER: of an archive, or of the demo",
    )


def run(args: argparse.Namespace) -> int:
    """Show or write, and return the exit code."""
    from pincheck import api
    from pincheck.edits.patch import diff
    from pincheck.edits.trial import MENDED, key
    from pincheck.reports.sentences import headline
    from pincheck.reports.text import findings_lines, reading_lines, wrap

    if args.undo:
        written = api.undo(base.machine_of(args))
        names = ", ".join(path.name for path in written)
        base.say([f"written back as it was: {names}" if names else "Nothing here can be undone."])
        return base.CLEAN
    assembly = base.assembly_of(args)
    machine = base.machine_of(args)
    if args.write:
        api.require_writable(machine)
    words = base.vocabulary_of(args, machine.style)
    result = api.check(machine, assembly, words)
    proposals = api.propose(result, words)
    chosen = _chosen(proposals, args.take)
    trial = api.try_edits(machine, assembly, chosen, words)
    base.say(diff(machine.sources, trial.machine.sources))
    for proposal, reason in trial.refused:
        base.note(f"pincheck: not applied ({proposal.finding.rule}): {reason}")
    done = {key(proposal.finding) for proposal in trial.applied}
    mended = {key(proposal.finding) for proposal in trial.mended}
    for number, proposal in enumerate(proposals, 1):
        if key(proposal.finding) in done:
            base.say(wrap(f"{number}. {proposal.note}"))
        elif key(proposal.finding) in mended:
            base.say(wrap(f"{number}. left out: {MENDED}"))
        elif proposal.edits and not proposal.safe and proposal not in chosen:
            base.say(wrap(f"{number}. left for you to choose (--take {number}): {proposal.note}"))
        elif proposal.blocked:
            base.say(wrap(f"{number}. no edit: {proposal.blocked}"))
    base.say(reading_lines(result))
    if args.write or args.into:
        base.require_read(result)
    if args.into:
        from pincheck.maker.files import save

        base.mend(args.into)
        save(args.into, trial.machine.sources)
        base.say(f"written: {source.name}" for source in trial.machine.sources)
    if not trial.applied:
        base.say(["No edit to make." if not result.findings else "No edit was applied."])
        base.say(wrap(headline(result)))
        return base.code_of(result)
    if args.write:
        written = api.write(machine, trial.machine)
        base.say([f"written: {', '.join(path.name for path in written)} (--undo takes it back)"])
    elif not args.into:
        base.say(["Nothing was written; add --write to write it."])
    base.say(wrap(f"After these edits: {headline(trial.result)}"))
    # Until they are written a number is that of the report, which --take goes by.
    numbers = {key(it): n for n, it in enumerate(result.findings, 1) if not args.write}
    left = enumerate(trial.result.findings, 1)
    base.say(findings_lines((numbers.get(key(finding), at), finding) for at, finding in left))
    return base.code_of(trial.result)


def _chosen(proposals: tuple[Proposal, ...], take: str | None) -> tuple[Proposal, ...]:
    if take is None:
        return tuple(proposal for proposal in proposals if proposal.safe)
    try:
        numbers = [int(part) for part in take.split(",")]
        if min(numbers) < 1:
            raise IndexError
        return tuple(proposals[number - 1] for number in numbers)
    except (ValueError, IndexError):
        message = f"--take wants numbers from 1 to {len(proposals)}, not {take!r}"
        raise base.CannotCheckError(message) from None

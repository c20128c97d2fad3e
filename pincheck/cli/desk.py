"""Check a folder of submissions, worst first, or draft the reply to one."""

import argparse
import hashlib
import os
import shutil
import sys
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from pincheck.cli import base
from pincheck.model.finding import Severity

if TYPE_CHECKING:
    from pincheck.batch.examine import Desk, Task
    from pincheck.batch.pool import Bounds
    from pincheck.batch.store import Store
    from pincheck.batch.submission import Submission

_EPILOG = (
    "Each entry of FOLDER is one submission: a file, a folder or an archive. Its assembly comes "
    "from the manifest, from a file pincheck-assembly.txt in the submission (the assembly's name "
    "on its first line), or from a rule file of [[assign]] tables (assembly, and one or more of "
    "path, style, setting, text); a single assembly is taken for all. What was checked is "
    "remembered: run the same command again to go on after Ctrl-C or to check only what changed. "
    "Exit code: 1 findings at or above the chosen severity, else 2 if any submission could not "
    "be checked, else 3 if not every heater, its sensor, limit, protection and fan could be "
    "judged, else 0."
)


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    from pincheck.batch import sizes

    parser = commands.add_parser(
        "desk", help="check many submissions", description=__doc__, epilog=_EPILOG
    )
    parser.add_argument("folder", type=Path, metavar="FOLDER", help="folder of the submissions")
    parser.add_argument(
        "-w",
        "--wiring",
        action="append",
        type=Path,
        default=[],
        metavar="TOML",
        help="an assembly's file, or a folder of them; may be repeated",
    )
    parser.add_argument("--demo", action="store_true", help="use the demo's assemblies")
    parser.add_argument(
        "--manifest",
        type=Path,
        metavar="FILE",
        help="CSV or JSON Lines with id, path, assembly, note; only what it lists is checked",
    )
    base.add_words(parser)
    parser.add_argument("--assign", type=Path, metavar="TOML", help="rules that assign assemblies")
    parser.add_argument(
        "--store", type=Path, metavar="FILE", help="where results are remembered (default: yours)"
    )
    parser.add_argument(
        "--processes", type=_count(sizes.MOST_PROCESSES), metavar="N", help="default: one a core"
    )
    parser.add_argument(
        "--seconds",
        type=_seconds,
        default=sizes.SECONDS,
        help="time for one submission (default: %(default)g)",
    )
    parser.add_argument(
        "--memory-mb",
        type=_count(sizes.MOST_MEMORY_MB),
        default=sizes.MEMORY_MB,
        metavar="MB",
        help="memory for one submission (default: %(default)s)",
    )
    parser.add_argument(
        "--first",
        type=_count(sizes.MAX_SUBMISSIONS),
        metavar="N",
        help="only the N worst in the table",
    )
    parser.add_argument(
        "--json-lines",
        type=Path,
        metavar="FILE",
        help="also write JSON Lines; - prints them instead of the table",
    )
    parser.add_argument(
        "--csv", type=Path, metavar="FILE", help="also write CSV; - prints it instead of the table"
    )
    parser.add_argument("--reply", metavar="ID", help="draft the reply to this submission, no more")
    parser.add_argument(
        "--at-least",
        choices=[severity.word for severity in Severity],
        default=Severity.ADVICE.word,
        help="exit with 1 only for findings this severe (default: %(default)s)",
    )


def run(args: argparse.Namespace) -> int:
    """Check the batch or draft a reply, and return the exit code."""
    from pincheck.batch import assign, manifest, submission
    from pincheck.batch.examine import Desk, words_of
    from pincheck.batch.pool import Bounds
    from pincheck.intake import gather
    from pincheck.model.problem import UnreadableError

    if not args.folder.is_dir():
        raise base.CannotCheckError(f"{args.folder} is no folder of submissions")
    if str(args.json_lines) == str(args.csv) == base.STANDARD_INPUT:
        raise base.CannotCheckError("only one of --json-lines and --csv can go to standard output")
    offer = assign.offer(args.wiring or _demo(args))
    words = gather(args.words)
    if words.problems:
        raise UnreadableError(words.problems)
    desk = Desk(offer, assign.rules(args.assign, offer) if args.assign else (), words.sources)
    words_of(desk)  # their mistakes are told before anything is checked
    if args.manifest:
        listed = manifest.read(args.manifest)
        submissions = listed.submissions
        base.note(f"pincheck: {listed.account}")
    else:
        submissions = tuple(submission.entries(args.folder))
    if not submissions:
        where = args.manifest or args.folder
        raise base.CannotCheckError(f"there is no submission in {where}: nothing was checked")
    bounds = Bounds(args.seconds, args.memory_mb)
    if args.reply is not None:
        return _reply(args, desk, submissions, bounds)
    return _batch(args, desk, submissions, bounds)


def _batch(
    args: argparse.Namespace,
    desk: "Desk",
    submissions: tuple["Submission", ...],
    bounds: "Bounds",
) -> int:
    from pincheck.batch import export, run, summary
    from pincheck.batch.progress import Progress
    from pincheck.batch.store import Store, StoreError

    progress = Progress(len(submissions), sys.stderr)
    processes = args.processes or run.cores()
    file = args.store or _store(args)
    _require_no_input(args, desk, file)
    try:
        store = Store(file)
    except StoreError as error:
        raise base.CannotCheckError(str(error)) from None
    with store:
        try:
            run.run(args.folder, submissions, desk, store, processes, bounds, progress)
        except KeyboardInterrupt:
            progress.end()
            base.note(f"stopped at {progress.count()}; the same command goes on")
            raise
        progress.end()
        if args.json_lines:
            _write(args.json_lines, (f"{line}\n" for line in export.json_lines(store)))
        if args.csv:
            _write(args.csv, export.csv_lines(store))
        if base.STANDARD_INPUT not in map(str, (args.json_lines, args.csv)):
            width = shutil.get_terminal_size().columns if sys.stdout.isatty() else None
            base.say(summary.table(store, base.ink(), width, args.first))
            base.say(["", *summary.summary(store)])
        return _exit_code(store, Severity[args.at_least.upper()])


def _exit_code(store: "Store", threshold: Severity) -> int:
    if any(store.total(severity) for severity in Severity if severity >= threshold):
        return base.FOUND
    if store.count("could not check"):
        return base.COULD_NOT_CHECK
    return base.NOT_ALL_JUDGED if store.count("not judged") else base.CLEAN


def _reply(
    args: argparse.Namespace,
    desk: "Desk",
    submissions: tuple["Submission", ...],
    bounds: "Bounds",
) -> int:
    from pincheck.batch import reply
    from pincheck.batch.examine import Task
    from pincheck.batch.pool import Failure, Pool
    from pincheck.batch.submission import SubmissionRefusedError, locate
    from pincheck.model.nearest import nearest

    wanted = next((s for s in submissions if s.id == args.reply), None)
    if wanted is None:
        near = nearest(args.reply, (submission.id for submission in submissions))
        hint = f"; did you mean {near!r}?" if near else ""
        raise base.CannotCheckError(f"no submission has the id {args.reply!r}{hint}")
    try:
        if wanted.fault:
            raise SubmissionRefusedError(wanted.fault)
        file = locate(args.folder.resolve(), wanted.path)
    except SubmissionRefusedError as error:
        base.say(reply.could_not_check(str(error)))
        return base.COULD_NOT_CHECK
    task = Task(file, wanted.path, wanted.assembly, b"")
    with Pool(partial(draft, desk), 1, bounds) as pool:
        _, outcome = next(pool.answers([(None, task)]))
    if isinstance(outcome, Failure):
        base.say(reply.could_not_check(outcome.reason))
        return base.COULD_NOT_CHECK
    code, text, remark = outcome
    base.say(text)
    if remark:
        base.note(f"pincheck: {remark}")
    return int(code)


def draft(desk: "Desk", task: "Task") -> tuple[int, list[str], str]:
    """Return exit code and lines of the reply to one submission; a worker's task.

    The last is a remark for the desk, on what is no matter of the customer's.
    """
    from pincheck import api
    from pincheck.batch import reply
    from pincheck.batch.assign import UnassignedError
    from pincheck.batch.examine import ChangedError, assembly_of, examine, words_of
    from pincheck.edits.patch import diff
    from pincheck.model.problem import UnreadableError

    try:
        examined = examine(desk, task)
    except (UnreadableError, ChangedError) as error:
        return base.COULD_NOT_CHECK, list(reply.could_not_check(str(error))), ""
    except UnassignedError as error:
        unknown = "the files do not say which board your machine is fitted with."
        return base.COULD_NOT_CHECK, list(reply.could_not_check(unknown)), str(error)
    machine, result = examined.machine, examined.result
    words = words_of(desk).get(machine.style)
    proposals = api.propose(result, words)
    safe = [proposal for proposal in proposals if proposal.safe]
    trial = api.try_edits(machine, assembly_of(examined.offered), safe, words)
    changed = diff(machine.sources, trial.machine.sources)
    return base.code_of(result), list(reply.lines(result, proposals, trial.applied, changed)), ""


def _demo(args: argparse.Namespace) -> list[Path]:
    from pincheck import api

    if not args.demo:
        raise base.CannotCheckError(
            "which wiring? name the assemblies' files or their folder: --wiring wiring/"
        )
    return [api.demo("")]


def _store(args: argparse.Namespace) -> Path:
    """Return the user's own store for this batch, outside the folder that customers fill."""
    home = os.environ.get("XDG_STATE_HOME", "")
    state = Path(home) if Path(home).is_absolute() else Path.home() / ".local" / "state"
    of = [str(path.resolve()) for path in (args.folder, args.manifest) if path]
    name = hashlib.sha256("\0".join(of).encode("utf-8", "surrogatepass")).hexdigest()[:16]
    return state / "pincheck" / f"desk-{name}.sqlite"


def _write(file: Path, texts: Iterable[str]) -> None:
    """Write a file whole, or a stream; `-` is standard output."""
    from pincheck.writing.output import put

    if str(file) == base.STANDARD_INPUT:
        base.put(texts)
    else:
        put(file, texts)


def _require_no_input(args: argparse.Namespace, desk: "Desk", store: Path) -> None:
    """Refuse to write over what this run reads, or what the next would take for a submission.

    Raises:
        CannotCheckError: an output is an input.
    """
    offered = (file for each in desk.offer.assemblies for file in each.files)
    read = [args.manifest, args.assign, *args.words, store, *offered]
    inputs = [path.resolve() for path in read if path]
    written: list[Path] = []
    for option, file in (("--json-lines", args.json_lines), ("--csv", args.csv)):
        if file is None or str(file) == base.STANDARD_INPUT:
            continue
        path = file.resolve()
        if path in inputs or path.is_relative_to(args.folder.resolve()):
            raise base.CannotCheckError(f"{option} {file} is read by this run: name another file")
        if not path.parent.is_dir():
            raise base.CannotCheckError(f"{option} {file}: there is no folder {path.parent}")
        if path in written and (path.is_file() or not path.exists()):
            raise base.CannotCheckError(f"{option} {file} is the file of --json-lines already")
        written.append(path)


def _count(most: int) -> Callable[[str], int]:
    """Return what reads a whole number from 1 to `most`."""

    def read(text: str) -> int:
        if not text.isdecimal() or len(text) > 9 or not 1 <= int(text) <= most:
            raise argparse.ArgumentTypeError(f"wants a whole number from 1 to {most}")
        return int(text)

    return read


def _seconds(text: str) -> float:
    from pincheck.batch.sizes import MOST_SECONDS

    try:
        seconds = float(text)
    except ValueError:
        seconds = 0.0
    if not 0 < seconds <= MOST_SECONDS:  # false for what is no number, too
        raise argparse.ArgumentTypeError(f"wants more than 0 and at most {MOST_SECONDS:g} seconds")
    return seconds

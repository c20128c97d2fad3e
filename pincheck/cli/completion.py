"""Print what lets a shell complete commands, options and file names."""

import argparse
from pathlib import Path

from pincheck.cli import base

SHELLS = ("bash", "zsh", "fish", "tcsh", "powershell")

_EPILOG = """to try it:
  bash        eval "$(pincheck completion bash)", or into
              ~/.local/share/bash-completion/completions/pincheck
  zsh         into a folder of $fpath, as _pincheck
  fish        into ~/.config/fish/completions/pincheck.fish
  tcsh        into a file that ~/.cshrc sources
  powershell  into a file that $PROFILE runs"""


def add(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Declare the command."""
    parser = commands.add_parser(
        "completion",
        help="print the completion script for a shell",
        description=__doc__,
        epilog=_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("shell", choices=SHELLS)


def run(args: argparse.Namespace) -> int:
    """Print the script and return the exit code."""
    import shtab

    from pincheck.cli.main import parser

    whole = parser()
    for part in base.parsers(whole):
        for action in part._actions:
            if action.type is Path:
                action.complete = shtab.FILE  # type: ignore[attr-defined]
    base.put([shtab.complete(whole, args.shell).rstrip("\n"), "\n"])
    return base.CLEAN

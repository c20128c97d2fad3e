"""The hostile cases that the benchmark measures, and one way to run a command on them."""

import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from attrs import frozen

from pincheck.cli.main import main

sys.path.append(str(Path(__file__).parents[1] / "bench"))


@frozen
class Ran:
    """What one command came to."""

    code: int
    out: str
    err: str

    @property
    def said(self) -> str:
        """Everything printed, its lines joined."""
        return " ".join(f"{self.err}\n{self.out}".split())


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Callable[..., Ran]:
    """Run one command in this process."""

    def running(*words: object) -> Ran:
        code = main([str(word) for word in words])
        printed = capsys.readouterr()
        return Ran(code, printed.out, printed.err)

    return running

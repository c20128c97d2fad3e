"""TOML to assembly, assembly to trace."""

from pincheck.wiring.board import load_board
from pincheck.wiring.load import load
from pincheck.wiring.trace import trace

__all__ = ["load", "load_board", "trace"]

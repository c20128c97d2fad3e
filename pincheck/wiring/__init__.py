"""TOML to assembly, assembly to trace."""

from pincheck.wiring.board import load_board
from pincheck.wiring.load import load

__all__ = ["load", "load_board"]

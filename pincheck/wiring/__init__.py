"""TOML to assembly, assembly to trace."""

from pincheck.wiring.board import load_board
from pincheck.wiring.follow import Pin, Reached, follow, follow_pin
from pincheck.wiring.load import load
from pincheck.wiring.trace import trace

__all__ = ["Pin", "Reached", "follow", "follow_pin", "load", "load_board", "trace"]

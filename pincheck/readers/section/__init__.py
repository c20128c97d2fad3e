"""The section style: `[section]` headers with `key: value` lines, includes and a saved block."""

from pincheck.readers.section.include import main_file
from pincheck.readers.section.read import read

__all__ = ["main_file", "read"]

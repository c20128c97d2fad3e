"""The section style: `[section]` headers with `key: value` lines, includes and a saved block."""

from pincheck.readers.section.include import IncludeFiles, includes, main_file, main_files
from pincheck.readers.section.read import read

__all__ = ["IncludeFiles", "includes", "main_file", "main_files", "read"]

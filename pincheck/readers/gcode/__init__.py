"""The gcode style: start-up scripts of commands, with conditions, variables and sub-files."""

from pincheck.readers.gcode.files import main_file, main_files
from pincheck.readers.gcode.read import read

__all__ = ["main_file", "main_files", "read"]

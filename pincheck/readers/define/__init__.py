"""The define style: headers for a C preprocessor, evaluated with what is unknown kept unknown."""

from pincheck.readers.define.headers import HeaderFiles, includes
from pincheck.readers.define.reader import read

__all__ = ["HeaderFiles", "includes", "read"]

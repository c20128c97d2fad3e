"""Lets the tests of this folder use the generator of the chip data beside them."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

"""Property tests draw the same examples in every run; PINCHECK_EXPLORE=1 draws new ones."""

import os

from hypothesis import settings

settings.register_profile("steady", derandomize=True, database=None, deadline=None)
settings.register_profile("explore", deadline=None)
settings.load_profile("explore" if os.environ.get("PINCHECK_EXPLORE") else "steady")

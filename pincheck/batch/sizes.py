"""Bounds on a batch and on the check of one submission."""

MAX_SUBMISSIONS = 100_000
"""Fifty times a large desk's backlog; more is the wrong folder."""

MAX_MANIFEST_BYTES = 32 * 1024 * 1024
"""More than `MAX_SUBMISSIONS` lines of usual length take."""

MAX_ID_CHARS = 200
"""Longer identifiers are no identifiers and break every table."""

MAX_NOTE_CHARS = 2_000
"""A note is a remark, not a document."""

SECONDS = 20.0
"""Time for one submission: a hundred times that of a large, honest one."""

MEMORY_MB = 512
"""Memory that the check of one submission may add to a warm worker: ten times an honest one's."""

MOST_SECONDS = 24 * 3600.0
"""A day: whoever asks for more waits for something else; the system's clocks take no infinity."""

MOST_MEMORY_MB = 1024 * 1024
"""More than any machine at a desk has; the system's own bounds overflow far above it."""

MOST_PROCESSES = 1024
"""Workers at one time: far above the cores of any machine at a desk."""

MAX_LISTED = 50
"""Problems, keys and missing files listed in one record; the rest is counted."""

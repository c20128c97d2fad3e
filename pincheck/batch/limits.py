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

MAX_LISTED = 50
"""Problems, keys and missing files listed in one record; the rest is counted."""

"""Bounds on what is handed over.

Field figures behind them: 149 machines, 1,326 files, 12 MB; the largest file has 198 kB, the
longest line 1,756 characters, a machine seldom more than 20 files.
"""

MAX_FILE_BYTES = 2 * 1024 * 1024
"""Ten times the largest configuration file met."""

MAX_TOTAL_BYTES = 16 * 1024 * 1024
"""More than all files of a large survey together; bounds memory for one machine."""

MAX_FILES = 400
"""Twenty times the files of a usual machine."""

MAX_FOLDER_ENTRIES = 5_000
"""Names looked at below a folder before giving up: a whole home folder was handed over."""

MAX_FOLDER_DEPTH = 8
"""Configuration trees met are three deep."""

MAX_LINE_CHARS = 20_000
"""Ten times the longest line met; longer ones are no configuration and slow every reader."""

MAX_ARCHIVE_BYTES = 16 * 1024 * 1024
"""An archive of a configuration folder seldom passes 1 MB."""

MAX_ARCHIVE_MEMBERS = 2_000
"""Names looked at in an archive, folders included."""

MAX_EXPANDED_BYTES = 32 * 1024 * 1024
"""All that one archive may expand to, so that a bomb stops early."""

MAX_XZ_MEMORY_BYTES = 96 * 1024 * 1024
"""An xz stream may ask for gigabytes of dictionary; its highest preset needs 65 MB."""

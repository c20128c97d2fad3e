"""Bounds on wiring files, each far above any real board and far below what would hurt."""

MAX_BYTES = 256 * 1024
"""Bytes of one file: a mainboard of 200 nets takes about 20 kB."""

MAX_FILES = 64
"""Board and parts files of one assembly: real machines have up to about ten boards."""

MAX_ENTRIES = 20_000
"""Keys and list items of one file: the largest demo board has about 300."""

MAX_DEPTH = 16
"""Nesting of tables and lists: the schema needs 4. `tomllib` recurses once a level."""

MAX_BROKEN = 20
"""Lines that are no TOML in one file: each costs another reading of the file."""

MAX_REREAD = 1024 * 1024
"""Bytes read again in all because of such lines: about 5 s of reading."""

MAX_CHAIN = 8
"""Nets of one board that drive each other in a row: real boards have up to three."""

MAX_TEXT = 200
"""Characters of one name or text: messages and tables show them."""

MAX_PINS = 200
"""Pins of one connector: the largest common headers have 80."""

MAX_PROBLEMS = 500
"""Mistakes reported of one file or assembly: more means that it is something else."""

MAX_CANDIDATES = 500
"""Names that one near-miss search looks at: its cost grows with their number."""

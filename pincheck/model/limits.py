"""Every bound on what is taken in, each with its reason.

Field figures behind them: 149 machines, 1,326 files, 12 MB; the largest file has 198 kB, the
longest line 1,756 characters, a machine seldom more than 20 files; a machine of the define style
has 6,000 lines. Each bound stands far above every real machine, and far below what takes more
than about a second or 300 MB.

What passes a bound of a whole machine is refused (`refusal`): nothing of it is judged. A bound of
one value, condition or line leaves that one unknown, and the rest is checked.
"""

# What is handed over: files, folders, archives.

FILE_BYTES = 1024 * 1024
"""Five times the largest configuration file met."""

FILE_LINES = 20_000
"""Five times what 198 kB hold in lines of 50 characters; print jobs and logs have more."""

HEAD_BYTES = 16 * 1024
"""What of a file is looked at to tell what it is, before the rest is read or where it is past
these bounds."""

TOTAL_BYTES = 5 * 1024 * 1024
"""A machine has 26 to 280 kB; a folder may hold a hundred saved copies of its main file. Past
this or `FILES`, only files that hold a setting count, and then only those beside a main header."""

FILES = 400
"""Twenty times the files of a usual machine."""

FOLDER_ENTRIES = 5_000
"""Names looked at below a folder before giving up: a firmware's whole source has some 3,000 (an
estimate), more is a home folder."""

FOLDER_DEPTH = 8
"""Configuration trees met are three deep."""

LINE_CHARS = 5_000
"""Three times the longest line met; longer ones are no configuration and slow every reader."""

ARCHIVE_BYTES = 16 * 1024 * 1024
"""An archive of a configuration folder seldom passes 1 MB."""

ARCHIVE_MEMBERS = 5_000
"""Names looked at in an archive, folders included: a firmware's source fits here too."""

EXPANDED_BYTES = 32 * 1024 * 1024
"""All that one archive may expand to, so that a bomb stops early, and all that is read of a folder.
Logs and pictures of a folder count nothing, nor do the logs of a zip archive."""

XZ_MEMORY_BYTES = 96 * 1024 * 1024
"""An xz stream may ask for gigabytes of dictionary; its highest preset needs 65 MB."""

# The readers.

PROBLEMS = 100
"""Problems kept of one file: more than anybody reads, and prose has one on every line."""

PROBLEM_CHARS = 2_000
"""Characters of a line kept in a problem, above the longest real line."""

SETTINGS = 10_000
"""Settings of one machine, counted as often as they are met: the define style, which has most,
sets or comments out 2,200 in both headers of a usual machine."""

SECTIONS = 2_000
"""Sections of one machine, or commands with what they are about: a usual machine of 26 kB has
about 100 (an estimate)."""

UNDERSTOOD = 1_000
"""Settings of one machine that a vocabulary knows, and as many overridden ones, at 0.1 to 0.3 ms
each: the demo has 50 to 75, a large machine 300 (an estimate)."""

DEFAULTS = 20_000
"""Keys with a default times the sections where each could stand, at 0.02 to 0.1 ms: the built-in
words and a machine of fifty sections come to 1,000."""

NAMES = 200_000
"""Entries of a vocabulary times the names that each is held against, at 3 us each: only entries
whose key begins alike are, of the built-in ones a handful."""

ALIASES = 2_000
"""Pins named anew by one machine: four boards of 500 pins. Further names stay unknown."""

PINS = 16
"""Pins of one value: real ones list up to four."""

EXPLAINED = 500
"""Broken lines of one file that a grammar is asked about, at 0.1 ms each."""

INCLUDE_DEPTH = 32
"""Includes within includes; a printer's owner nests three."""

PATH_CHARS = 500
"""Characters of a path that a file asks for: no card or disk takes a longer name."""

INCLUDES = 500
"""Files included in all: a dozen files that each include the next ten times are 10^12."""

CALL_DEPTH = 16
"""Scripts that call scripts; the controllers themselves stop at about ten."""

EVENT_SCRIPTS = 24
"""Scripts of events that undo something: the whole machine is judged after each of them."""

CALLS = 500
"""Script calls followed in all, for the same reason as includes."""

LINES = 50_000
"""Lines of one machine, called scripts as often as they are called: a large one has 10,000."""

EXPRESSIONS_CHARS = 12_000
"""Characters of all expressions worked out for one machine, at about 15 us each, every expression
counted with `EXPRESSION_LEAST` at least: 400 usual ones. The rest is unknown."""

EXPRESSION_LEAST = 30
"""Characters that the shortest expression counts for: to work it out takes its time too."""

CONDITION_CHARS = 300
"""Characters of a condition in words, which every setting under it carries."""

BLOCK_DEPTH = 64
"""Nested blocks of a script."""

EXPRESSION_CHARS = 300
"""Characters of an expression: the controllers' own line buffer holds about 250, and every
nested bracket or further operand costs the evaluation a stack frame or two."""

VALUE_CHARS = 1_000
"""Characters of a computed text: one that is joined to itself doubles with each line."""

DEFINE_LINES = 15_000
"""Directives of one machine, commented-out ones included: three times those of the largest."""

DEFINE_EXPRESSION_CHARS = 2_000
"""Characters of a condition or computed value of the define style: above the longest line met."""

DEFINE_COMPUTED_CHARS = 35_000
"""Characters of all conditions and values that are computed for one machine, its macros replaced,
at about 10 us each: headers in the proportions of the field take 7,000."""

DEFINE_DOUBTS_SHOWN = 8
"""Branches before an `#elif` that its condition names: a chain of them is read by people."""

DEFINE_NESTING = 64
"""Conditionals inside conditionals of the define style: real headers nest five."""

DEFINE_EXPANSION = 8_000
"""Characters that the macros of one value may come to; doubling macros grow as 2^n."""

DEFINE_EXPANSIONS = 50_000
"""Characters that all macros of one machine may come to: real ones need 10,000."""

DEFINE_MEANINGS = 16
"""Defines of one name under conditions that nobody can decide: each is held against all others.
Real headers have two, as for the steps of a motor; of more than these, the first are unknown."""

DEFINE_CALL_DEPTH = 50
"""Macro calls inside the brackets of macro calls: each costs a few stack frames."""

TABLE_ENTRIES = 255
"""Entries of one table of a sensor: the style's firmware counts them in a byte (from memory)."""

TABLE_NUMBER_CHARS = 20
"""Characters of one number in a table: counts have four digits."""

TABLE_COMMENT_CHARS = 20_000
"""Characters of a table's comments in which the pull-up is sought: they have a few lines."""

MATINGS = 300
"""Wrong matings that are solved, at some 30 ms each: the demo has 50 that differ."""

MATING_WIRES = 60_000
"""Wires of an assembly times its matings that are solved: one of 500 wires takes some 0.15 s. The
demo has 60 wires."""

WIRES_AT_A_CHECK = 500
"""Wires of an assembly of which a check tries changes or solves a plug that goes on wrong."""

MATINGS_AT_A_CHECK = 6
"""Of them, those that a check may solve for its one line."""

MATINGS_LISTED = 600
"""Wrong matings looked at: a mainboard with twenty sockets and a tool head have 200."""

PIN_COSTS = 8_000
"""Solutions of two wires on two pins at most, at 10 ms each: the demo's ribbon of 20 has 1,500."""

PIN_ORDERS = 40_000
"""Orders of a plug's pins that are compared where there are more than all of 8 pins (40,320)."""

SLIP_TRIALS = 30
"""Changes of the wiring tried as the one cause of many findings, at some 10 ms each: what can be
wrong with two cables as a whole, and a handful of wires or boards."""

SLIP_CHECKS = 3
"""Of them, those that a whole check then has to confirm: the first is nearly always the one."""

SLIP_BOARDS = 32
"""Board files looked at for another revision of a board: a release folder has some ten."""

# Wiring files and all other TOML.

WIRING_BYTES = 128 * 1024
"""Bytes of one file, of a vocabulary too: a mainboard of 200 nets takes about 20 kB."""

WIRING_FILES = 64
"""Board and parts files of one assembly, and boards: real machines have up to about ten."""

WIRING_TOTAL_BYTES = 1024 * 1024
"""Bytes of all files of one assembly: ten mainboards and parts files of 20 kB are a fifth of it."""

WIRING_ENTRIES = 10_000
"""Keys and list items of one file: the largest demo board has about 300."""

WIRING_DEPTH = 16
"""Nesting of tables and lists: the schema needs 4. `tomllib` recurses once a level."""

WIRING_BROKEN = 20
"""Lines that are no TOML in one file: each costs another reading of the file."""

WIRING_REREAD = 96 * 1024
"""Bytes read again in all because of such lines, at about 5 us each: a demo board has 5 kB."""

WIRING_CHAIN = 8
"""Nets of one board that drive each other in a row: real boards have up to three."""

WIRING_TEXT = 200
"""Characters of one name or text: messages and tables show them."""

WIRING_PINS = 200
"""Pins of one connector: the largest common headers have 80."""

NETLIST_BYTES = 8 * 1024 * 1024
"""A mainboard of 200 nets has some 2,000 points of 80 bytes; a panel of 40 of them fits."""

NETLIST_LINES = 100_000
"""As many records of 80 bytes as those bytes hold."""

TABLE_BYTES = 2 * 1024 * 1024
"""A parts list of 500 lines has 50 kB, a tester's readings of 1,000 units 1 MB."""

WIRING_PROBLEMS = 100
"""Mistakes reported of one file or assembly: more than anybody reads."""

WIRING_CANDIDATES = 200
"""Names that one near-miss search looks at: its cost grows with their number."""

CIRCUIT_WORK = 200_000
"""Fitted parts times elements of the circuit, each at about 5 us: the demo has 4,500, a machine of
60 parts some 54,000. Of more the currents are not worked out."""

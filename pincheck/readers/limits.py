"""Bounds on what the readers take from a file, each with its reason.

Real machines stay far below every one of them: the largest file met had 198 kB, the longest
line 1,756 characters.
"""

PROBLEMS = 100
"""Problems kept of one file: more than anybody reads, and prose has one on every line."""

PROBLEM_CHARS = 2_000
"""Characters of a line kept in a problem, above the longest real line."""

SETTINGS = 30_000
"""Settings of one machine, counted as often as they are met: ten times the largest machine."""

EXPLAINED = 500
"""Broken lines of one file that a grammar is asked about, at 0.1 ms each."""

INCLUDE_DEPTH = 32
"""Includes within includes; a printer's owner nests three."""

INCLUDES = 500
"""Includes followed in all: a dozen files that each include the next ten times are 10^12."""

CALL_DEPTH = 16
"""Scripts that call scripts; the controllers themselves stop at about ten."""

CALLS = 500
"""Script calls followed in all, for the same reason as includes."""

LINES = 50_000
"""Lines of one machine, called scripts as often as they are called: a large one has 10,000."""

EXPRESSIONS = 2_000
"""Expressions worked out for one machine, at 0.2 ms each; the rest is unknown."""

CONDITION_CHARS = 300
"""Characters of a condition in words, which every setting under it carries."""

BLOCK_DEPTH = 64
"""Nested blocks of a script."""

EXPRESSION_CHARS = 300
"""Characters of an expression: the controllers' own line buffer holds about 250, and every
nested bracket or further operand costs the evaluation a stack frame or two."""

VALUE_CHARS = 1_000
"""Characters of a computed text: one that is joined to itself doubles with each line."""

DEFINE_EXPRESSION_CHARS = 10_000
"""Characters of a condition or computed value of the define style, its macros replaced."""

DEFINE_NESTING = 64
"""Conditionals inside conditionals of the define style: real headers nest five."""

DEFINE_EXPANSION = 8_000
"""Characters that the macros of one value may come to; doubling macros grow as 2^n."""

DEFINE_EXPANSIONS = 250_000
"""Characters that all macros of one machine may come to: real ones need 10,000."""

DEFINE_MEANINGS = 50
"""Defines of one name under conditions that nobody can decide: each is held against all others."""

DEFINE_CALL_DEPTH = 50
"""Macro calls inside the brackets of macro calls: each costs a few stack frames."""

"""TOML with the place of every key and value, and what was expected where it is wrong."""

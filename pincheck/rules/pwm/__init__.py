"""Frequencies against timers, and voltage and duty of what is driven."""

"""The serial line to a machine: what is sent, what comes back, and what went wrong on the way."""

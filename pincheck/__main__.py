"""Lets `python -m pincheck` stand for the command."""

from pincheck.cli.main import entry

entry()

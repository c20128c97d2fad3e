"""Bytes to disk: all files of a change or none, whatever ends the command in between."""

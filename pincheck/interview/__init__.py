"""Asks for the wiring of a machine, question by question, and writes the files that describe it."""

"""Bytes to text, text to settings: one room a style."""

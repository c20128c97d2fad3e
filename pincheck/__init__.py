"""Checks a 3D printer's firmware configuration against the real wiring of its tool head."""

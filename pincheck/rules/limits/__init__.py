"""Temperatures, power and current against what the parts stand."""

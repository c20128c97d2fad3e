"""What is generated from an assembly: reference configurations, draft wiring, release checks."""

"""What rules, reports, bench, screen and maker ask of one machine beside its wiring."""

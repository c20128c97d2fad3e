"""What is laid side by side: revisions of boards and assemblies, configurations without wiring."""

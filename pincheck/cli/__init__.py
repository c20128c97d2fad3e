"""The commands: one file each; `main` puts them together."""

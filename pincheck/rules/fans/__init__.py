"""What fans need from pins, switches and settings."""

"""What the firmware's thermal protection will and will not notice."""

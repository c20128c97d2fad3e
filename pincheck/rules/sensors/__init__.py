"""What the firmware believes a sensor says."""

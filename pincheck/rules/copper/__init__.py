"""What is wrong in the wiring itself, whatever the firmware says."""

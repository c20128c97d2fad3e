"""Motor currents."""

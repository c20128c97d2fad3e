"""The probe's signal, its servo and homing."""

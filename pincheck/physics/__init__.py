"""Numbers in, numbers out: sensors, heaters, conductors, thermal model, PWM."""

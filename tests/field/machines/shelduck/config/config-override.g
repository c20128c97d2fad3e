; config-override.g file generated in response to M500 at 2022-02-11 12:31
; This is a system-generated file - do not edit
; Heater model parameters
M307 H0 A90 C700 D10 S1.00 B0
M307 H1 A413.7 C190.6 D5.9 S1.00 B0
; Probed tool offsets
; Workplace coordinates
G10 L2 P1 X0.00 Y0.00 Z0.00
; Z probe parameters
G31 K0 P500 X-27.0 Y-13.0 Z1.35
M568 P0 R0 S0

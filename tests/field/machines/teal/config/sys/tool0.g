; carriage tool
M308 S1 P"1.temp0" Y"thermistor" T100000 B4725 C7.06e-8 R2200 A"Carriage"
M950 H1 C"1.out0" T1
M307 H1 R2.43 K0.35:0.1 D5.6 E1.35 S1.00 B0 V24.1
M950 F0 C{global.fanPin} Q250
M106 P0 S0 H-1 L0.2 C"Part cooling"
M950 F1 C"1.out1" Q500
M106 P1 S1 H1 T45 C"Carriage hotend"
M563 P0 S"Carriage" D0 H1 F0
G10 P0 X0 Y0 Z0

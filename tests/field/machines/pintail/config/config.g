; Moorhen 330
G4 S1 ; wait
M575 P1 S1 B57600
M574 X2 S1 P"!xstop"
M558 P8 C"probe" F500:150 H3 T12000
G31 P1000 X-28 Y-13 Z0.2
M574 Z1 S2
; heaters
M308 S0 P"bedtemp" Y"thermistor" T100000 B3950 A"bed" ;
M950 H0 C"bed" T0 ; H = heater 0
M140 H0
M143 H0 P1 S120 A2 ; a further monitor
M143 H0 S110
M307 H0 A250 C400 D1.5 V24 B0
M308 S1 P"e0temp" Y"thermistor" T100000 B4092 A"nozzle"
M950 H1 C"nil"           ; drop an old binding
M950 H1 C"e0heat" T1
M143 H1 S300
M307 H1 A751.5 C196.6 D4.7 V24.2 B0
M308 S2 P"e1temp" Y"thermistor" T100000 B3950 A"chamber air"
M950 H2 C"e1heat" T2 Q1
M141 H2
M143 H2 S70
M308 S3 Y"mcu-temp" A"mcu"
M308 S4 Y"drivers" A"stepper drivers"
; fans
M98 P"include/fans.g"
M591 D0 P1 C"!fstop" S1

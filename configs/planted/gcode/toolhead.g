; Lapwing C: two part fans on one net, wired to the third fan output of the mainboard

; Hot end
M308 S1 P"temp0" Y"thermistor" T100000 B4725 A"Hot end"
M950 H1 C"e0heat" T1
M307 H1 R2.40 K0.36:0.12 D4.5 S1.00 V24.0
M143 H1 S280                           ; the liner is good for 260
M570 H1 P60 T15
M302 S170 R130

; Fans
M950 F0 C"fan0" Q250
M106 P0 S0 L0.05 X1.0 B0 H-1 C"Part fans"
M950 F1 C"fan2" Q250
M106 P1 S1 H0 T50 C"Hot-end fan"
;M950 F2 C"fan1" Q250                  ; free

; Tool
M563 P0 D0 H1 F0 S"Hot end"
G10 P0 X0 Y0 Z0
G10 P0 R0 S0

; Probe: a servo signal deploys its pin
M950 S0 C"fan1"
M558 P9 C"!probe" H5 F300 T7200 A2
G31 P500 X38 Y-9 Z1.85
;M558 P5 C"^zstop" H5 F300 T7200

; Marsh 230 with a Heron 2 mainboard: runs at every start

; General
G90                                    ; absolute coordinates
M83                                    ; relative extruder moves
M550 P"Marsh 230"

; Drives
M569 P0 S0                             ; X
M569 P1 S0                             ; Y
M569 P2 S1                             ; Z
M569 P3 S0                             ; extruder
M584 X0 Y1 Z2 E3
M350 X16 Y16 Z16 E16 I1
M92 X80.00 Y80.00 Z400.00 E410.00
M566 X480 Y480 Z24 E300
M203 X15000 Y15000 Z480 E3000
M201 X2500 Y2500 Z100 E5000
M906 X1270 Y1270 Z1130 E1980 I40        ; mA, peak
M84 S120

; Size
M208 X-4 Y-2 Z-3 S1
M208 X230 Y230 Z250 S0

; End stops
M574 X1 S1 P"^xstop"
M574 Y1 S1 P"^ystop"
M574 Z1 S1 P"^zstop"                   ; the end stop homes Z

; Bed
M308 S0 P"bedtemp" Y"thermistor" T10000 B3950 A"Bed"
M950 H0 C"!bed" T0
M307 H0 R0.35 K0.30 D8.0 S1.00 B1
M140 H0
M143 H0 S110
M143 H0 S115                           ; the plate's magnet is good for 120
M570 H0 P10 T15

; Tool head
M98 P"toolhead.g"

; Filament
M591 D0 P1 C"^!fil0" S1

; Mesh
M557 X34:218 Y12:218 P5

T0

; Stamp of pincheck 0.1.0, gcode style, wiring dd4b3144f8c1, lines 1160f25d24a9, boards Heron 2 + Lapwing B, assembly Marsh 230 with Lapwing B
; Marsh 230 with Lapwing B: reference of tool head, bed and end stops in the gcode
; style.
; Boards: Heron 2, Lapwing B. Generated from the wiring, read back and checked without a
; finding.
; Call this file at the end of the start-up script, with M98 P"reference.g", below its
; drives (M569, M584, M350): what is created again starts afresh, so that lines of yours
; above it for these sensors, heaters, fans and tools are lost, and those below it win.
; Put below it what you tuned: M307, G31, M501. Yours, and not here: M92, M201, M203,
; M208, M566, G31, M307.
; What is marked "yours" is your own choice, within what the parts stand.
; This style has no lowest temperature: hot-end heater, bed heater.
; Lines of yours that must go: M308, M950, M106, M143, M570, M563, M558, M574 and M591
; for the same things, and those for other numbers on a pin that stands here.
; Agreement on paper is no proof. Power off and unplug before you measure or re-plug,
; and stay with the machine for its first heat.

; bed sensor: PC4 leads to Heron 2 bed_sensor; 100 k thermistor, beta 3950; pull-up on
; the board; yours: A
M308 S0 P"bedtemp" Y"thermistor" T100000 B3950 C0 R4700 A"Bed"

; bed heater: PA8 leads to Heron 2 bed; read by the sensor above
M950 H0 C"bed" T0

; heater 0 is the bed's: from here on its limit holds
M140 H0

; magnet of the plate stands 120 C: limit 115 C; yours: S
M143 H0 S115

; cut at 68 C at most if the sensor falls out at 60 C; so far below the target is no
; fault yet; yours: P T
M570 H0 P10 T15

; hot-end sensor: PC5 leads to Lapwing B thermistor; 100 k thermistor, 104GT-2 class;
; pull-up on the board; yours: A
M308 S1 P"temp0" Y"thermistor" T100000 B4725 C7.06e-8 R4700 A"Hot end"

; hot-end heater: PC8 leads to Lapwing B heater; read by the sensor above
M950 H1 C"e0heat" T1

; liner stands 260 C: limit 255 C; yours: S
M143 H1 S255

; cut at 223 C at most if the sensor falls out at 210 C; so far below the target is no
; fault yet; yours: P T
M570 H1 P5 T15

; colder filament is not pushed; yours: S
M302 S170

; part fan: PB7 leads to Lapwing B part_fan; usual for a fan of two wires; yours: Q
M950 F0 C"fan1" Q250

; 24 V 0.3 A blower stands still below it; turns the fan from rest; yours: L B C
M106 P0 L0.2 B0.3 C"Part fan"

; hot-end fan: PB6 leads to Lapwing B hotend_fan; usual for a fan of two wires; yours: Q
M950 F1 C"fan0" Q250

; full speed; filament softens in the cold end at 60 C; yours: S T C
M106 P1 H1 S1 T50 C"Hot-end fan"

; tool: its extruder, heater and part fan
M563 P0 D0 H1 F0

; probe servo: PA1 leads to Lapwing B probe
M950 S0 C"servo0"

; 5 V probe with a pin that a servo signal deploys; probe signal: PB1 leads to Lapwing B
; probe; nothing on the boards pulls the line up
M558 P9 C"^probe"

; assumed: low end; x endstop: PC0 leads to Heron 2 stop_x; nothing on the boards pulls
; the line up; yours: X
M574 X1 S1 P"^xstop"

; assumed: low end; y endstop: PC1 leads to Heron 2 stop_y; nothing on the boards pulls
; the line up; yours: Y
M574 Y1 S1 P"^ystop"

; no end stop is fitted: the probe homes; yours: Z
M574 Z1 S2

; filament sensor: PC3 leads to Heron 2 filament; filament is there while the pin is
; low; nothing on the boards pulls the line up; yours: S
M591 D0 P1 C"^!fil0" S1

; 80% of what motor and driver bear; yours: X Y Z E
M906 X1690 Y1690 Z1690 E1130

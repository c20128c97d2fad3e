; Configuration file for the numbered generation (firmware version 1.20 or newer)
; executed by the firmware on start-up

; General preferences
M111 S0                                 ; Debugging off
G21                                     ; Work in millimetres
G90                                     ; Send absolute coordinates...
M83                                     ; ...but relative extruder moves
M555 P2                                 ; Set firmware compatibility
M667 S1                                 ; Select CoreXY mode
M208 X0 Y0 Z0 S1
M208 X300 Y300 Z300 S0

; Network
M550 PShelduck                          ; Set machine name
M551 P"marsh"                           ; Set password
M552 S1                                 ; Enable network
M586 P0 S1

; Endstops
M574 X1 Y1 S1                           ; Set active high endstops
M574 Z1 S2                              ; Z probe

; Drives
M569 P0 S1                              ; Drive 0 goes forwards
M569 P1 S0
M569 P2 S1
M569 P3 S1
M569 P5 S1 T2.5:2.5:5:0                 ; external driver
M584 X0 Y1 Z2:5 E3:4                    ; two Z drives, one of them on the expansion board
M350 X16 Y16 Z16 E16:16 I1
M92 X80 Y80 Z400 E420:420
M906 X1300 Y1300 Z1000 E1000:1000 I30   ; Set motor currents (mA) and motor idle factor in per cent
M84 S30

; Thermistors and heaters
M301 H0 S1.00 P10 I0.1 D200 T0.4 W180 B30 ; old PID, kept
M305 P0 T100000 B3950 R4700             ; Set thermistor + ADC parameters for heater 0
M143 H0 S120
M307 H0 B1 S1.00
M305 P1 T100000 B4725 C7.06e-8 R4700 H0 L0 ; hot end
M143 H1 S285                            ; Set temperature limit for heater 1
;M305 P2 X200 ; PT100 board
M305 P100 X1000 S"CPU"                  ; virtual heater
M305 P101 X1001 S"Drivers"
M302 S170 R130
M570 H1 P8 T15 S60

; Fans
M106 P0 S0.0 I0 F500 H-1                ; part fan
M106 P1 S255 I0 F500 H1 T45             ; hot end fan
M106 P2 I0 F200 H100:101 T40:65         ; board fan
M106 P3 S0 I-1                          ; disabled

; Tools
M563 P0 D0 H1 F0                        ; Define tool 0
G10 P0 X0 Y0 Z0
G10 P0 R0 S0

; Z-Probe
M558 P4 H5 F120 T6000 I1 A3             ; inductive probe on the E0 end stop
G31 P500 X25 Y0 Z0.9
M557 X15:285 Y15:285 S20
M501

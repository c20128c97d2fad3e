;second tool, on the mainboard
m308 s2 p"temp1" y"pt1000" r2200 a"Tool 1"
m950 h2 c"out1" t2
M307 H2 R2.4 K0.4 D5 S1.00
M950 F2 C"out6" Q250 M106 P2 S0 L0.2
M950 F3 C"out5" Q500
M106 P3 S1 H2 T45:55 C"tool 1 hotend"
M563 P1 S"Tool 1" D1 H2 F2

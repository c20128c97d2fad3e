; Fans
M950 F0 C"out3" Q250
M106 P0 S0 H-1 C"part"
m950 f1 c"out4" q250
m106 p1 s1 h1 t45
M950 F2 C"out5" Q250
M106 P2 S1 H0:1 T50 L0.3 C"board"

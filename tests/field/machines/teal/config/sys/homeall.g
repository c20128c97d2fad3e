; homeall.g
G91
G1 H2 Z5 F6000
G1 H1 X-405 F1800
G90
M98 P"homez.g"

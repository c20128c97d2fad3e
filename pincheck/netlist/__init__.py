"""A layout's netlist: read, made into a board file, held against one."""

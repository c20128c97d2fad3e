"""The test of each unit made of a board: its plan, its readings, the record of all units."""

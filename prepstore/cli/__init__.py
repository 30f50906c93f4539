"""The door: a file a command group; wires the rooms, reads the clock, sets exit codes."""

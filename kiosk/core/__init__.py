"""The rules: events, commands, bench state, decide, evolve, views. Standard library only; no Qt, no I/O, no clock."""

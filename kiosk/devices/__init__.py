"""The edges of the machine, each behind a small class: the scanner first."""

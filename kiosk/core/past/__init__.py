"""What the desk asks of the kept logs, and the shape of what it is told: figures, counters, looking back. Pure."""

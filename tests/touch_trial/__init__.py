"""A robot hand at the glass: taps with the spread of a gloved finger, palms, drips and cloths, and what they record.

`python -m tests.touch_trial` plays it and prints the table of docs/touch.md.
"""

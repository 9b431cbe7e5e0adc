"""A whole invented day, played by script: each station a real session with the real rules and a real store on disk.

The stations hear each other through the real store code. There are no windows: the screens are held elsewhere.

Everything is drawn by seed: the same seed gives the same day. `play_day` plays it.
"""

from kiosk.rehearsal.day.play import Day, play_day

__all__ = ["Day", "play_day"]

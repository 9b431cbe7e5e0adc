"""Plays written shifts through the real screens: acceptance, practice, pictures."""

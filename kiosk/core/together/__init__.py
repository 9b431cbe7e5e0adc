"""What the logs of all stations say together: the same at every station that has heard the same. Pure."""

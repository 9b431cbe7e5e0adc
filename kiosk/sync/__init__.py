"""Carriers of the log between the stations of a department."""

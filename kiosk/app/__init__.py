"""The bench put together and opened. With `kiosk.cli`, the only place where rooms are joined."""

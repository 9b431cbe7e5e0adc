"""What the bench keeps: the log of events in SQLite, catalogue and policy versions, pictures. One writer."""

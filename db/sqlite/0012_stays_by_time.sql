-- Where a thing came to after a moment, and before it, whatever the tray.

CREATE INDEX fact_stay_by_time ON fact_stay (thing, at_ms);

"""Counts turned into what can be said of them: rates with limits, charts, agreement, samples, kit."""

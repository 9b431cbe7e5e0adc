"""What an event means to a program too old to know it: hold (treat as held), clear (ignore), info (show at most)."""

HOLD = {
    "load_not_released", "check_no", "not_seen_marked", "finding", "place_moved", "correction", "second_look_asked",
    "count_short", "count_over", "item_back", "tray_back", "repair_tagged", "quarantined", "hold_placed",
    "repeated_after_pause", "scope_out_of_use", "weight_stopped", "label_voided", "printer_lost", "power_lost",
}  # fmt: skip
CLEAR = {
    "load_checked", "load_released", "count_ok", "finding_withdrawn", "dried", "bench_fixed", "hold_released",
    "replaced", "bench_cleaned", "gloves_changed", "scope_start_ok", "scope_cleaned", "printer_restored",
    "power_restored",
}  # fmt: skip
INFO = {
    "signed_in", "sign_in_refused", "signed_out", "startup_answered", "tray_opened", "plan_shown", "line_counted",
    "check_yes", "photo_taken", "photo_declined", "lead_told", "bench_step_done", "label_time_set", "weighed",
    "indicators_placed", "packaging_chosen", "packed", "print_asked", "sheet_printed", "label_printed",
    "ticket_printed", "tag_printed", "ticket_handwritten", "reprinted", "paper_read", "piece_chosen", "paused",
    "resumed", "wrong_scan", "first_aid_begun", "first_aid_left", "exposure_noted", "startup_again", "tray_let_go",
}  # fmt: skip

CLASS: dict[str, str] = {
    name: cls for cls, names in (("hold", HOLD), ("clear", CLEAR), ("info", INFO)) for name in names
}
"""Name on disk -> hold, clear or info."""

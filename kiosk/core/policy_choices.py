"""What may be chosen for each key of the policy by touch, and in which group it stands. The rest is changed by file."""

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from types import MappingProxyType
from typing import Any

from kiosk.core.policy import KG_PER_LB, WHOLE, PolicyFault

GROUPS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "checks": (
            "verify_where", "decontam_sign_in", "clean_methods", "by_size", "size_edges_mm", "scope_not_fit",
            "part_not_seen", "unknown_lumen", "scope_fit_ratio", "overlap_mm", "long_over_mm", "long_ratio",
            "air_where", "air_limit", "water_kind", "look_time", "look_pace_s_per_cm", "look_least_s", "look_most_s",
        ),
        "found": (
            "return_rule", "raise_to_tray", "max_dry_tries", "after_dry_tries", "fail_limit", "tell_lead_at",
            "repeat_window_days", "photo_required", "single_use_rule",
        ),
        "people": (
            "second_person", "override_roles", "self_override", "may_override", "never_override", "phone_approval",
            "exposure_note_again", "call_list",
            "competency_methods", "competency_months", "pin_least", "idle_lock_minutes", "ppe", "house_language",
            "ticket_data_code", "sounds", "sound_level",
            "names_on_summary",
        ),
        "kit": (
            "scope_start_check", "scope_clean_every", "scope_after_soil", "scope_gap", "brush_rule",
            "bench_contact_minutes",
        ),
        "pack": (
            "set_weight_max_lb", "set_weight_act", "missing_rule", "missing_may_pack_short", "substitute_rule",
            "label_after_opening", "shelf_life", "rush_rule",
        ),
        "records": (
            "load_release_required", "load_release_two_people", "repeat_load_alert", "cleaning_levels",
            "pause_restart_minutes", "offline_warn_hours", "picture_days", "picture_room_gb", "keep_years",
            "shifts",
        ),
    }
)  # fmt: skip
"""Group -> keys, in the order of the page. A key that stands nowhere is shown in the last group."""

OPTIONS: Mapping[str, tuple[object, ...]] = MappingProxyType(
    {
        "verify_where": ("clean", "dirty", "both"),
        "decontam_sign_in": ("answers", "always"),
        "part_not_seen": ("mark", "hold"),
        "unknown_lumen": ("hold", "treat_as_tiny"),
        "air_where": ("bench", "station", "hood"),
        "water_kind": ("sterile", "critical", "tap"),
        "scope_clean_every": ("lumen", "item", "tray", "shift"),
        "scope_start_check": ("shift", "day", "none"),
        "brush_rule": ("banned", "one_per_item", "one_per_tray"),
        "set_weight_act": ("stop", "warn"),
        "missing_rule": ("hold", "pack_short_by_supervisor"),
        "after_dry_tries": ("item_back", "tray_back", "hold"),
        "substitute_rule": ("like_for_like_by_supervisor", "never"),
        "names_on_summary": ("none",),
        "scope_gap": ("anyone", "supervisor", "nobody"),
        "exposure_note_again": ("mark", "refuse"),
        "phone_approval": ("cosigned", "never"),
        "look_time": ("ask", "wait", "off"),
        "house_language": ("en", "es"),
        "ticket_data_code": ("none", "when_apart", "every_ticket"),
        "sounds": ("two", "many"),
        "sound_level": ("normal", "low", "silent"),
        "self_override": (False, True),
        "load_release_required": (True, False),
        "load_release_two_people": (True, False),
    }
)
"""Key -> its choices, the delivered one first where a department has chosen none."""

SOME_OF: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "clean_methods": (
            "look", "apart", "dry", "light", "holes", "teeth", "swab", "scope", "air", "function", "insulation",
            "water", "brush", "soil_test",
        ),
        "second_person": (
            "override", "pack_short", "unsure", "discolored", "implant_count", "trainee", "loaner_first_use",
        ),
        "photo_required": ("scope_finding", "damage", "quarantine", "unsure", "single_use_found"),
        "raise_to_tray": ("two_soiled_items", "loose_soil_in_tray", "splash", "not_sure_which_item"),
        "competency_methods": ("swab", "scope", "air", "insulation", "light", "water", "function"),
        "may_override": ("missing_pack_short", "second_person_absent"),
    }
)  # fmt: skip
"""Key -> what its list may hold. The list of what is never overridden is not among them: it is never made shorter."""

NUMBERS: Mapping[str, tuple[Decimal, Decimal]] = MappingProxyType(
    {
        key: (Decimal(least), Decimal(most))
        for key, least, most in (
            ("scope_fit_ratio", "0.1", "1"), ("overlap_mm", "0", "100"), ("long_over_mm", "50", "3000"),
            ("long_ratio", "10", "1000"), ("look_pace_s_per_cm", "0", "10"), ("look_least_s", "0", "120"),
            ("look_most_s", "1", "600"), ("max_dry_tries", "0", "9"), ("fail_limit", "1", "9"),
            ("tell_lead_at", "1", "9"), ("repeat_window_days", "1", "365"), ("set_weight_max_lb", "1", "60"),
            ("repeat_load_alert", "1", "20"), ("pause_restart_minutes", "1", "240"), ("idle_lock_minutes", "1", "60"),
            ("offline_warn_hours", "1", "168"), ("pin_least", "4", "8"), ("competency_months", "1", "60"),
            ("bench_contact_minutes", "0.1", "60"), ("picture_days", "7", "3650"), ("picture_room_gb", "1", "2000"),
        )
    }
)  # fmt: skip
"""Key -> the least and the most that a department can mean (a choice, no source): beyond it, it is a slip."""


class NumberFault(PolicyFault):
    """A number outside its range, or a part of one where only whole ones count. `key`, `value`, `whole`: of which."""

    def __init__(self, key: str, value: object) -> None:
        self.key, self.value, self.whole = key, value, key in WHOLE
        self.least, self.most = NUMBERS[key]
        kind = "whole number" if self.whole else "number"
        super().__init__(f"policy key {key}: takes a {kind} from {self.least} to {self.most}, not {value}")


def check_numbers(values: Mapping[str, Any]) -> None:
    """Raises NumberFault for the first number that no department can mean. What is no number at all is read later."""
    for key, value in values.items():
        per = KG_PER_LB if key == "set_weight_max_kg" else Decimal(1)
        key = "set_weight_max_lb" if key == "set_weight_max_kg" else key
        if key not in NUMBERS:
            continue
        if isinstance(value, bool):
            raise NumberFault(key, value)
        try:
            number = Decimal(str(value)) / per
        except InvalidOperation:
            continue
        least, most = NUMBERS[key]
        if not (number.is_finite() and least <= number <= most):
            raise NumberFault(key, value)
        if key in WHOLE and number != number.to_integral_value():
            raise NumberFault(key, value)


def group_of(key: str) -> str:
    """The group a key stands in."""
    return next((group for group, keys in GROUPS.items() if key in keys), "records")

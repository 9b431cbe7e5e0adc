"""Which of two rules is the stricter one: for each key of the policy where that can be said, how. Pure.

A stricter rule asks for more, lets less go on, or lets fewer people let it go on. Where neither can be said to be
stricter (the names of shifts, a telephone list, how a lumen's size is called), the older rule stays.
"""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from kiosk.core.cleaning_levels import lower_levels
from kiosk.core.policy import Policy, PolicyFault, plain_values

RANKED: Mapping[str, tuple[Any, ...]] = MappingProxyType(
    {
        "decontam_sign_in": ("answers", "always"),
        "part_not_seen": ("mark", "hold"),
        "unknown_lumen": ("treat_as_tiny", "hold"),
        "water_kind": ("tap", "critical", "sterile"),
        "air_where": ("bench", "station", "hood"),
        "after_dry_tries": ("item_back", "tray_back", "hold"),
        "scope_clean_every": ("shift", "tray", "item", "lumen"),
        "scope_start_check": ("none", "day", "shift"),
        "scope_gap": ("anyone", "supervisor", "nobody"),
        "brush_rule": ("one_per_tray", "one_per_item", "banned"),
        "exposure_note_again": ("mark", "refuse"),
        "set_weight_act": ("warn", "stop"),
        "self_override": (True, False),
        "phone_approval": ("cosigned", "never"),
        "missing_rule": ("pack_short_by_supervisor", "hold"),
        "missing_may_pack_short": ("supervisor", "nobody"),
        "substitute_rule": ("like_for_like_by_supervisor", "never"),
        "load_release_required": (False, True),
        "load_release_two_people": (False, True),
        "single_use_rule": ("hold_then_discard", "hold"),
        "label_after_opening": ("void_and_recheck", "everything_again"),
        "look_time": ("off", "ask", "wait"),
    }
)
"""Key -> its values, the strictest last. A value that does not stand here is not compared."""

LESS = frozenset(
    {
        "max_dry_tries", "fail_limit", "tell_lead_at", "set_weight_max_lb", "pause_restart_minutes",
        "idle_lock_minutes", "repeat_load_alert", "competency_months", "scope_fit_ratio",
        "long_over_mm", "long_ratio",
    }
)  # fmt: skip
"""Numbers of which the smaller one is stricter."""

MORE = frozenset(
    {
        "overlap_mm", "repeat_window_days", "look_pace_s_per_cm", "look_least_s", "look_most_s", "pin_least",
        "bench_contact_minutes", "picture_days", "picture_room_gb",
    }
)  # fmt: skip
"""Numbers of which the larger one is stricter."""

JOINED = frozenset(
    {"clean_methods", "raise_to_tray", "second_person", "photo_required", "never_override", "competency_methods"}
)
"""Lists that ask for more with each word: the words of both together."""

SHARED = frozenset({"override_roles", "may_override"})
"""Lists that let more go on with each word: only the words that both have."""


def strictest(older: Policy, others: Iterable[Policy], version: int) -> Policy:
    """The older policy with every rule of the others that is stricter, under a number."""
    base = plain_values(older)
    told = [plain_values(each) for each in others]
    values = {key: _of_key(key, value, [each[key] for each in told]) for key, value in base.items()}
    try:
        return Policy.from_mapping(values, version=version)
    except PolicyFault:  # rules that each can be read, and together can not: the older ones stand
        return Policy.from_mapping(base, version=version)


def _of_key(key: str, older: Any, others: Sequence[Any]) -> Any:
    out = older
    for other in others:
        out = _stricter(key, out, other)
    return out


def _stricter(key: str, one: Any, other: Any) -> Any:
    """The stricter of two values of a key; the first where neither is."""
    if one == other:
        return one
    if key in RANKED:
        order = RANKED[key]
        return max(one, other, key=order.index) if one in order and other in order else one
    if key in LESS | MORE:
        return _number(one, other, more=key in MORE)
    if key in JOINED:
        return [*one, *(word for word in other if word not in one)]
    if key in SHARED:
        return [word for word in one if word in other]
    match key:
        case "verify_where":
            return "both"
        case "return_rule":
            return _whole_tray(one, other)
        case "by_size" | "ppe":
            return _more_of_each(one, other)
        case "air_limit":
            return _pressure(one, other)
        case "cleaning_levels":
            return lower_levels(one, other)
    return one


def _number(one: Any, other: Any, *, more: bool) -> Any:
    """The larger or the smaller figure. One that is asked at the bench ("from_label") is compared with none."""
    try:
        first, second = Decimal(str(one)), Decimal(str(other))
    except ArithmeticError:
        return one
    return (max if more else min)((first, one), (second, other), key=_figure)[1]


def _figure(pair: tuple[Decimal, Any]) -> Decimal:
    return pair[0]


def _whole_tray(one: Mapping[str, str], other: Mapping[str, str]) -> dict[str, str]:
    """The whole tray goes back where either says so."""
    return {name: "tray" if "tray" in {word, other.get(name, word)} else word for name, word in one.items()}


def _more_of_each(one: Mapping[str, Sequence[str]], other: Mapping[str, Sequence[str]]) -> dict[str, list[str]]:
    """Every check, or everything that is worn, that either asks for."""
    return {name: [*words, *(word for word in other.get(name, ()) if word not in words)] for name, words in one.items()}


def _pressure(one: Any, other: Any) -> Any:
    """No house figure at all ("ifu_only") is stricter than any; of two figures the lower one."""
    figures = [each for each in (one, other) if each != "ifu_only"]
    return min(figures, key=int) if len(figures) == 2 else "ifu_only"

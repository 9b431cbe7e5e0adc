"""The department's choices, as one frozen record. The defaults stand in resources/policy.yaml, never here."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from decimal import Decimal, InvalidOperation
from typing import Any

from kiosk.core.cleaning_levels import levels_from, plain_levels
from kiosk.core.cleaning_tests import LevelFault, Levels
from kiosk.core.vocabulary import Check, Size

KG_PER_LB = Decimal("0.45359237")
"""Exact: the international avoirdupois pound, NIST SP 811 appendix B.8."""


class PolicyFault(ValueError):
    """A policy that cannot be read; the message is one sentence naming the key."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Policy:
    """One numbered version of the department's policy. Keys and meanings: resources/policy.yaml."""

    version: int
    verify_where: str
    decontam_sign_in: str  # answers | always
    clean_methods: frozenset[Check]
    by_size: Mapping[Size, frozenset[Check]]
    size_edges_mm: Mapping[str, Decimal]
    long_over_mm: Decimal
    long_ratio: Decimal
    scope_fit_ratio: Decimal
    overlap_mm: Decimal
    scope_not_fit: tuple[str, ...]
    part_not_seen: str
    unknown_lumen: str
    air_where: str
    air_limit: int | None  # a house figure in kPa, never above an IFU's; None: no number in the IFU, no air
    water_kind: str
    return_rule: Mapping[str, str]
    raise_to_tray: frozenset[str]
    max_dry_tries: int
    after_dry_tries: str
    fail_limit: int
    tell_lead_at: int
    repeat_window_days: int
    second_person: frozenset[str]
    photo_required: frozenset[str]
    ppe: Mapping[str, tuple[str, ...]]
    scope_clean_every: str
    scope_after_soil: str
    scope_start_check: str  # none | shift | day
    scope_gap: str  # anyone | supervisor | nobody
    air_gauge_kpa: tuple[Decimal, Decimal] | None  # the gauge's range; None: it is only asked whether it is in range
    exposure_note_again: str  # mark | refuse
    brush_rule: str
    set_weight_max_lb: Decimal
    set_weight_act: str
    override_roles: frozenset[str]
    self_override: bool
    never_override: frozenset[str]
    may_override: frozenset[str]
    phone_approval: str  # cosigned | never
    missing_rule: str
    missing_may_pack_short: str
    substitute_rule: str
    rush_rule: str
    load_release_required: bool
    load_release_two_people: bool
    pause_restart_minutes: int
    idle_lock_minutes: int
    bench_contact_minutes: Decimal | None  # None: the facility has not typed its disinfectant's label time yet
    single_use_rule: str
    names_on_summary: str
    offline_warn_hours: int
    shelf_life: str
    label_after_opening: str
    repeat_load_alert: int
    picture_days: int  # after so many days a still without a finding is dropped
    picture_room_gb: int  # gigabytes that pictures may take at one station
    keep_years: str
    look_time: str  # ask | wait | off
    look_pace_s_per_cm: Decimal
    look_least_s: Decimal
    look_most_s: Decimal
    call_list: tuple[str, ...]  # whom to call, first one first, when a piece broke off in use
    shifts: Mapping[str, tuple[str, str]]  # day: (07:00, 15:00)
    pin_least: int  # digits of a new PIN, at least
    competency_methods: tuple[str, ...]
    competency_months: int
    ticket_data_code: str  # none, when_apart, every_ticket: a code with all that the ticket tells
    cleaning_levels: tuple[Levels, ...]  # alert and action of cleaning tests; none as delivered
    house_language: str  # what papers speak, and whoever has chosen no language: en, es
    sounds: str  # two | many
    sound_level: str  # silent | low | normal

    @classmethod
    def from_mapping(cls, values: Mapping[str, Any], *, version: int = 1) -> "Policy":
        """Build from the keys of resources/policy.yaml. Raises PolicyFault naming the key."""
        values = dict(values)
        if "set_weight_max_kg" in values:  # a department may type its limit in kilograms; it is kept in pounds
            kilograms = values.pop("set_weight_max_kg")
            try:
                values["set_weight_max_lb"] = _pounds(Decimal(str(kilograms)))
            except InvalidOperation as fault:
                raise PolicyFault(f"policy key set_weight_max_kg: cannot use {kilograms!r}") from fault
        known = {f.name for f in fields(cls)} - {"version"}
        for key in values:
            if key not in known:
                raise PolicyFault(f"policy key {key}: this tool does not know it")
        out: dict[str, Any] = {"version": version}
        for f in fields(cls):
            if f.name == "version":
                continue
            if f.name not in values:
                raise PolicyFault(f"policy key {f.name}: missing")
            try:
                out[f.name] = _convert(f.name, values[f.name])
            except LevelFault as fault:
                raise PolicyFault(f"policy key {f.name}: {fault}") from fault
            except (ValueError, TypeError, AttributeError, InvalidOperation) as fault:
                raise PolicyFault(f"policy key {f.name}: cannot use {values[f.name]!r}") from fault
        return cls(**out)


def plain_values(policy: Policy) -> dict[str, Any]:
    """The policy as `Policy.from_mapping` reads it: text, whole numbers, truth values, lists, and dicts of these."""
    return {f.name: _plain(f.name, getattr(policy, f.name)) for f in fields(policy) if f.name != "version"}


def _plain(key: str, value: Any) -> Any:
    if key == "cleaning_levels":
        return plain_levels(value)
    if key == "bench_contact_minutes" and value is None:
        return "from_label"
    if key == "air_gauge_kpa" and value is None:
        return "none"
    if key == "air_limit" and value is None:
        return "ifu_only"
    if isinstance(value, Mapping):
        return {str(name): _plain("", each) for name, each in value.items()}
    if isinstance(value, frozenset):
        return sorted(str(each) for each in value)
    if isinstance(value, tuple):
        return [str(each) for each in value]
    return value if isinstance(value, bool | int) else str(value)


_DECIMALS = {
    "long_over_mm", "long_ratio", "scope_fit_ratio", "overlap_mm", "set_weight_max_lb",
    "look_pace_s_per_cm", "look_least_s", "look_most_s",
}  # fmt: skip
_SETS = {"raise_to_tray", "second_person", "photo_required", "override_roles", "never_override", "may_override"}
WHOLE = frozenset({
    "max_dry_tries", "fail_limit", "tell_lead_at", "repeat_window_days", "pause_restart_minutes",
    "idle_lock_minutes", "offline_warn_hours", "repeat_load_alert", "pin_least", "competency_months",
    "picture_days", "picture_room_gb",
})  # fmt: skip
"""Keys that are whole numbers."""


def _pounds(kilograms: Decimal) -> Decimal:
    """Kilograms as pounds: a limit that was pounds once (11.3398 kg) comes back whole, any other stays exact."""
    pounds = kilograms / KG_PER_LB
    return round(pounds) * Decimal(1) if abs(pounds - round(pounds)) < Decimal("0.001") else pounds


def _convert(key: str, value: Any) -> Any:
    if key in _DECIMALS:
        return Decimal(str(value))
    if key in _SETS:
        return frozenset(str(v) for v in value)
    if key in WHOLE:
        return int(value)
    if key == "clean_methods":
        return frozenset(Check(v) for v in value)
    if key == "by_size":
        return {Size(size): frozenset(Check(v) for v in checks) for size, checks in value.items()}
    if key == "size_edges_mm":
        return {str(k): Decimal(str(v)) for k, v in value.items()}
    if key == "ppe":
        return {str(k): tuple(str(v) for v in worn) for k, worn in value.items()}
    if key in {"scope_not_fit", "competency_methods", "call_list"}:
        return tuple(str(v) for v in value)
    if key == "return_rule":
        return {str(k): str(v) for k, v in value.items()}
    if key == "shifts":
        return {str(k): (str(v[0]), str(v[1])) for k, v in value.items()}
    if key == "air_gauge_kpa":
        least, most = (None, None) if value == "none" else (Decimal(str(each)) for each in value)
        return None if least is None or most is None else (least, most)
    if key == "cleaning_levels":
        return levels_from(value)
    if key == "air_limit":
        return None if value == "ifu_only" else int(value)
    if key == "bench_contact_minutes":
        return None if value == "from_label" else Decimal(str(value))
    if key in {"self_override", "load_release_required", "load_release_two_people"}:
        if not isinstance(value, bool):
            raise TypeError(key)
        return value
    return str(value)

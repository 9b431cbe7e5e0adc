"""From a finding to what becomes of the piece and the bench: the order of rules, with its reasons."""

from dataclasses import dataclass

from kiosk.core.desk import Desk
from kiosk.core.findings import DOUBTS
from kiosk.core.policy import Policy
from kiosk.core.state.bench import Bench
from kiosk.core.state.piece import TRAY, FindingOn
from kiosk.core.state.trip import Trip
from kiosk.core.together import repeats
from kiosk.core.vocabulary import BenchLevel, Check, Disposition, Group

Because = tuple[str, dict[str, str]]
"""A reason: key in the words, and its names."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What the rules say. `because` names each rule that spoke, first to last."""

    kind: Disposition
    level: BenchLevel
    gloves: bool
    because: tuple[Because, ...]
    effort: int  # this is failed check number so many in a row


_RETURN_KEYS = {Group.SOIL: "other_soil", Group.FOREIGN: "foreign", Group.BLOCKED: "blocked"}
_WET_CHECKS = ("air", "water")


def outcome(bench: Bench, trip: Trip, finding: FindingOn, desk: Desk) -> Outcome:
    """What becomes of the finding's piece, before anybody confirms it."""
    kind = desk.findings[finding.code]
    policy = desk.policy
    back = Disposition(policy.after_dry_tries) if finding.code == "still_wet" else kind.back
    because: list[Because] = [(f"because.rule.{back}", {})]
    effort = repeats.effort(bench, trip, finding, desk)
    if back in {Disposition.ITEM_BACK, Disposition.TRAY_BACK}:
        key = finding.code if finding.code in policy.return_rule else _RETURN_KEYS.get(kind.group, "")
        rule = policy.return_rule.get(key, "")
        if rule:
            back = Disposition.TRAY_BACK if rule == "tray" else Disposition.ITEM_BACK
            because = [(f"because.return.{rule}", {"finding": kind.say})]
        raised = _raised(trip, finding, desk) if back is Disposition.ITEM_BACK else ""
        if raised:
            back = Disposition.TRAY_BACK
            because.append((f"because.raised.{raised}", {}))
        if effort >= policy.fail_limit:
            back = Disposition.QUARANTINE
            because = [("because.fail_limit", {"times": str(effort)})]
        elif effort >= policy.tell_lead_at:
            because.append(("because.second_return", {"times": str(effort)}))
    if back is Disposition.SECOND_LOOK:
        back, because = _doubt(trip, finding, policy)
    level = kind.bench
    if kind.full_if and finding.key.rsplit(".", 1)[-1] in _WET_CHECKS:
        level = BenchLevel.FULL
        because.append(("because.full", {}))
    gloves = kind.group in {Group.SOIL, Group.FOREIGN} or kind.code == "dropped"
    return Outcome(kind=back, level=level, gloves=gloves, because=tuple(because), effort=effort)


def _doubt(trip: Trip, finding: FindingOn, policy: Policy) -> tuple[Disposition, list[Because]]:
    """A doubt: policy wants a second person, or takes the one word there is; two people agreed on damage."""
    if finding.first:
        return Disposition.REPAIR, [("because.two_people", {})]
    if DOUBTS[finding.code] in policy.second_person:
        return Disposition.SECOND_LOOK, [("because.rule.second_look", {})]
    if finding.code == "discolored" and nothing_comes_off(trip, finding):
        return Disposition.PACK, [("because.color_only", {})]
    if finding.code == "deep_scratch":
        return Disposition.REPAIR, [("because.rule.repair", {})]
    return Disposition.ITEM_BACK, [("because.one_person", {})]


def nothing_comes_off(trip: Trip, finding: FindingOn) -> bool:
    """Is it color only: was the lumen's swab clean, or will it be asked yet? Outside, the eye alone says so."""
    lumen, _, check = finding.key.rpartition(".")
    if not lumen:
        return True
    piece = trip.pieces[finding.piece]
    return check != Check.SWAB and any(each.key == f"{lumen}.{Check.SWAB}" for each in piece.plan.checks)


def _raised(trip: Trip, finding: FindingOn, desk: Desk) -> str:
    """The rule that raises one piece to the whole tray, or ""."""
    raise_to_tray = desk.policy.raise_to_tray
    soiled = {f.piece for f in trip.findings if f.group == Group.SOIL}
    if finding.group == Group.SOIL:
        if "loose_soil_in_tray" in raise_to_tray and finding.piece == TRAY and finding.key == "basket":
            return "loose_soil_in_tray"
        if "two_soiled_items" in raise_to_tray and len(soiled) >= 2:
            return "two_soiled_items"
    if "splash" in raise_to_tray and finding.code == "splash":
        return "splash"
    return ""


def photo_wanted(finding: FindingOn, kind: Disposition, desk: Desk) -> bool:
    """Does policy keep the piece here until there is a picture, or a reason for none?"""
    if finding.photo or finding.no_photo:
        return False
    required = desk.policy.photo_required
    record = desk.findings[finding.code]
    return (
        ("scope_finding" in required and finding.key.endswith(".scope") and record.group != Group.CHECK)
        or ("damage" in required and record.group == Group.DAMAGE and record.photo)
        or ("quarantine" in required and kind is Disposition.QUARANTINE)
        or finding.code in required
    )

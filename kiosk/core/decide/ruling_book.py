"""The rules of the policy itself: a draft by touch or by file, signed by two, numbered, shown once to each person."""

import json
from datetime import timedelta

from kiosk.core import events as e
from kiosk.core.agenda import at_desk
from kiosk.core.commands import DraftRule, DropDraft, Page, SignPolicy, Turn
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.desk import Desk
from kiosk.core.policy import Policy, PolicyFault, plain_values
from kiosk.core.policy_choices import NumberFault, check_numbers
from kiosk.core.stamp import local_time
from kiosk.core.state.amendments import SignedPolicy
from kiosk.core.together.two_policies import every_signed, heads, names_signed
from kiosk.core.vocabulary import Role


def drafted_policy(desk: Desk, drafted: dict[str, str], version: int = 0) -> Policy:
    """The policy as it would be with the draft over it. Raises PolicyFault."""
    own = {key: json.loads(value) for key, value in drafted.items()}
    newest = desk.policies[max(desk.policies)] if desk.policies else desk.policy
    return Policy.from_mapping({**plain_values(newest), **own}, version=version or next_version(desk))


def next_version(desk: Desk) -> int:
    """The number that the next signed version gets."""
    return max([*desk.policies, desk.policy.version]) + 1


def signs_policy(desk: Desk, about: str, person: str) -> bool:
    """May this person sign beside, where `about` (policy-now, policy-next) is what is signed? Any other: yes."""
    known = desk.catalogue.people.get(person)
    return not about.startswith("policy-") or (known is not None and known.role is Role.INFECTION_PREVENTION)


def draft_rule(pen: Pen, command: DraftRule) -> None:
    """One key of the draft. A value that the policy can not be read with is not taken."""
    newest = drafted_policy(pen.desk, {})
    try:
        value = json.loads(command.value)
        check_numbers({command.key: value})
        policy = drafted_policy(pen.desk, {**pen.bench.staff.drafted, command.key: command.value})
    except NumberFault as fault:
        key = "refused.policy_whole" if fault.whole else "refused.policy_number"
        raise Refused(key, value=command.value, least=fault.least, most=fault.most) from fault
    except (ValueError, PolicyFault) as fault:
        raise Refused("refused.policy_value") from fault
    kept = command.value if plain_values(policy)[command.key] != plain_values(newest)[command.key] else ""
    if kept or command.key in pen.bench.staff.drafted:
        pen.write(e.PolicyDrafted(key=command.key, value=kept), off_trip=True)
    where = Turn(page=Page.RULE, subject=command.key, number=command.number)
    pen.turn = (
        where if isinstance(value, list | dict) else Turn(page=Page.RULES, subject=command.group, number=command.number)
    )


def drop_draft(pen: Pen, command: DropDraft) -> None:
    """The draft is thrown away; the log keeps that it was."""
    pen.write(e.PolicyDropped(), off_trip=True)
    pen.turn = Turn(page=Page.POLICY)


def sign_policy(pen: Pen, command: SignPolicy) -> None:
    """The manager is signed in; infection prevention signs on their own badge. From then on it has a number."""
    manager, second = pen.desk.catalogue.people[pen.bench.who or ""], pen.desk.catalogue.people[command.by]
    if second.id == manager.id:
        raise Refused("refused.same_person")
    drafted = pen.bench.staff.drafted
    if not drafted:
        raise Refused("refused.policy_nothing")
    start = pen.now.at_ms
    if command.start == "next":
        now = local_time(pen.now.at_ms, pen.now.offset_min)
        midnight = now.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
        start += int((midnight - now).total_seconds() * 1000)
    benches = (pen.bench, *pen.desk.others.values())
    signed = e.PolicySigned(
        version=next_version(pen.desk),
        values={**_own_values(pen.desk, heads(every_signed(benches))), **drafted},
        from_ms=start,
        manager=manager.id,
        infection_prevention=second.id,
        over=names_signed(benches),
    )
    pen.write(signed, off_trip=True)
    pen.turn = Turn(page=Page.POLICY)
    pen.say("notice.policy_signed_next" if command.start == "next" else "notice.policy_signed", version=signed.version)


def _own_values(desk: Desk, left: list[SignedPolicy]) -> dict[str, str]:
    """The values that the draft lies over: of the newest version, or of several that count together, each."""
    if len(left) == 1:
        return left[0].values
    newest = desk.policies[max(desk.policies)] if left else None
    return {key: json.dumps(value) for key, value in plain_values(newest).items()} if newest else {}


def show_once(pen: Pen) -> None:
    """What is new is shown once to each person: at the sign-in, or with the first tray opened under it."""
    who = pen.bench.who
    began = any(isinstance(kept.event, e.SignedIn | e.TrayOpened) for kept in pen.kept)
    if who is None or not began or at_desk(pen.bench, pen.desk):
        return
    benches = (pen.bench, *pen.desk.others.values())
    shown = max((bench.staff.shown.get(who, 0) for bench in benches), default=0)
    version = pen.desk.policy.version
    if version in {one.version for bench in benches for one in bench.staff.policies} and shown < version:
        pen.write(e.PolicyShown(person=who, version=version), off_trip=True)
        pen.turn = Turn(page=Page.NEW_RULES, subject=f"{shown}")

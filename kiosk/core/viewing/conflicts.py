"""Two records that cannot both be, a row each for the supervisor; a touch says the ruling back before it counts."""

from collections.abc import Mapping
from dataclasses import dataclass

from kiosk.core.commands import Page, RuleConflict, Turn
from kiosk.core.glance import Glance, back_hand, head, record_what
from kiosk.core.policy import plain_values
from kiosk.core.policy_words import sentence
from kiosk.core.state.amendments import KeptRecord, SignedPolicy
from kiosk.core.state.bench import Bench
from kiosk.core.state.ruled import Noted
from kiosk.core.state.trip import Trip
from kiosk.core.together import same_tray, two_policies, two_records
from kiosk.core.together.conflicts import find_conflict
from kiosk.core.together.returns import answer_of, answers_differ
from kiosk.core.together.seen import Said
from kiosk.core.together.stations import stations
from kiosk.core.viewing.records_differ import differences
from kiosk.core.viewing.rows import in_a_line, listed
from kiosk.core.viewing.summaries import trip_state
from kiosk.core.views import ListRow, ListView, StopView

_RULING = "|"
"""Between the conflict's name and the ruling that is said back, in the turn's subject."""

_LINES = 3
"""So many lines the say-back page holds on every screen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    """One of the two records: where it was kept, what it says."""

    ruling: str
    title: str
    says: tuple[str, ...]
    value: str = ""
    name: str


def conflict(g: Glance) -> ListView | StopView:
    """One conflict, or the ruling on it said back. Both records are kept, whatever is ruled."""
    about, _, ruling = (g.turn.subject if g.turn else "").partition(_RULING)
    one = find_conflict(g.bench, g.desk, about)
    if one is None:
        return StopView(
            head=head(g, title=g.bench_name), hand=back_hand(g, to=Turn(page=Page.NEEDS)), notice=g.said(),
            title=g.words.say("conflict.gone_title"), sentence=g.words.say("conflict.gone"), lines=(), main=None,
        )  # fmt: skip
    return _said_back(g, one, ruling) if ruling else _sides_by_side(g, one)


def _sides_by_side(g: Glance, one: Noted) -> ListView:
    whole = {same_tray.KIND: same_tray.TWO_TRAYS, "policy": two_policies.STRICTEST}.get(one.kind, "")
    rows = [
        ListRow(
            title=side.title,
            sub=in_a_line(g, side.says),
            value=side.value,
            icon="arrow_right",
            send=_to(one, side.ruling),
            name=f"rule {side.name}",
        )
        for side in _sides(g, one)
    ]
    return listed(
        g,
        rows,
        page=Page.CONFLICT,
        subject=one.conflict,
        title=_title(g, one),
        help_=_meanwhile(g, one),
        nothing=g.words.say("conflict.gone"),
        main=g.key(f"conflict.{whole}", _to(one, whole), kind="main", name=f"rule {whole}") if whole else None,
        back=Turn(page=Page.NEEDS),
    )


def _to(one: Noted, ruling: str) -> Turn:
    return Turn(page=Page.CONFLICT, subject=f"{one.conflict}{_RULING}{ruling}")


def _title(g: Glance, one: Noted) -> str:
    what = record_what(g, one.what) if one.kind == "record" else one.what
    return g.words.say(f"conflict.title.{one.kind}", what=what)


def _meanwhile(g: Glance, one: Noted) -> str:
    """What counts until somebody rules."""
    answer = ""
    if one.kind == "answers":
        answer = g.words.say(f"intake.said.{answer_of(g.bench, g.desk, one.what)}")
    return g.words.say(f"conflict.meanwhile.{one.kind}", answer=answer)


def _said_back(g: Glance, one: Noted, ruling: str) -> StopView:
    """What the ruling says, what follows from it, and one key for it."""
    side = next((each for each in _sides(g, one) if each.ruling == ruling), None)
    says = side.says if side else ()
    few = says[: _LINES - 1] if len(says) > _LINES else says
    more = (g.words.say("conflict.and_more", n=len(says) - len(few)),) if len(says) > len(few) else ()
    return StopView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, to=Turn(page=Page.CONFLICT, subject=one.conflict)),
        notice=g.said(),
        title=side.title if side else g.words.say(f"conflict.whole.{ruling}"),
        sentence=g.words.say(f"conflict.follows.{one.kind if side else ruling}"),
        lines=(*few, *more),
        main=g.key("conflict.rule", RuleConflict(conflict=one.conflict, ruling=ruling), kind="main", name="rule this"),
    )


def _sides(g: Glance, one: Noted) -> list[_Side]:
    match one.kind:
        case same_tray.KIND:
            return _trips(g, one)
        case "answers":
            return _answers(g, one)
        case "policy":
            return _policies(g)
        case _:
            return _records(g, one)


def _trips(g: Glance, one: Noted) -> list[_Side]:
    benches = stations(g.bench, g.desk)
    found = [same_tray.trip_of(benches, name) for name in same_tray.trips_of(one.conflict)]
    return [
        _Side(
            ruling=trip.id,
            title=g.words.say("conflict.trip", station=station, trip=trip.id),
            says=_of_trip(g, trip),
            value=g.since(trip.opened_ms),
            name=trip.id,
        )
        for station, trip in (each for each in found if each is not None)
    ]


def _of_trip(g: Glance, trip: Trip) -> tuple[str, ...]:
    """How far, its count, and what was found: the worse of two is what counts."""
    say = g.words.say
    told = [trip_state(g, trip)] if trip.ended else [say("conflict.open")]
    told += [say("conflict.count_line", line=name, have=have, want=want) for name, want, have in trip.differences]
    if not trip.differences:
        told.append(say("conflict.count_ok" if trip.counted else "conflict.count_none"))
    told += [g.desk.findings[found.code].say for found in trip.findings if not found.put_right]
    return tuple(dict.fromkeys(told))


def _answers(g: Glance, one: Noted) -> list[_Side]:
    say = g.words.say
    differs = sorted(answers_differ(g.bench, g.desk, one.what), key=_station)
    by_word: dict[str, list[Said]] = {}
    for each in differs:
        by_word.setdefault(each.says, []).append(each)
    return [
        _Side(
            ruling=says,
            title=say(f"intake.answer.{says}").replace("\n", " "),
            says=(say("conflict.said_at", stations=", ".join(each.station for each in mine)),),
            value=g.since(mine[0].at_ms),
            name=says,
        )
        for says, mine in by_word.items()
    ]


def _station(each: Said) -> str:
    return each.station


def _policies(g: Glance) -> list[_Side]:
    benches = stations(g.bench, g.desk)
    left = two_policies.heads(two_policies.every_signed(benches.values()))
    out = []
    for each in left:
        at = next((name for name, one in benches.items() if each in one.staff.policies), "")
        title = g.words.say("conflict.version", station=at)
        says = _of_policy(g, each, left)
        out.append(_Side(ruling=each.mark, title=title, says=says, value=g.since(each.at_ms), name=at))
    return out


def _of_policy(g: Glance, each: SignedPolicy, left: list[SignedPolicy]) -> tuple[str, ...]:
    """What this version says that another one does not."""
    others = [one for one in left if one.mark != each.mark]
    own = [key for key, value in each.values.items() if any(one.values.get(key) != value for one in others)]
    values = plain_values(two_policies.policy_of(g.desk.policy, each))
    return tuple(sentence(g.words, key, values[key]) for key in own) or (g.words.say("conflict.as_before"),)


def _records(g: Glance, one: Noted) -> list[_Side]:
    benches = stations(g.bench, g.desk)
    left = two_records.differing(benches.values())[one.what]
    return [
        _Side(
            ruling=each.mark,
            title=g.words.say("conflict.changed_at", station=at),
            says=differences(g, each, left),
            value=g.since(each.at_ms),
            name=at,
        )
        for each in left
        for at in [_kept_at(benches, one.what, each)]
    ]


def _kept_at(benches: Mapping[str, Bench], key: str, each: KeptRecord) -> str:
    return next((at for at, one in benches.items() if each in one.staff.records.get(key, ())), "")

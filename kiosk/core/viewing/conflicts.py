"""Two records that cannot both be, side by side for the supervisor: what each says, what counts, the ruling."""

from collections.abc import Mapping

from kiosk.core import same_tray, two_policies, two_records
from kiosk.core.amendments import KeptRecord, SignedPolicy
from kiosk.core.bench import Bench, Trip
from kiosk.core.commands import Page, RuleConflict, Turn
from kiosk.core.conflicts import find_conflict
from kiosk.core.glance import Glance, back_hand, head, record_what
from kiosk.core.policy import plain_values
from kiosk.core.returns import answer_of, answers_differ
from kiosk.core.ruled import Noted
from kiosk.core.rules import sentence
from kiosk.core.seen import Said
from kiosk.core.stations import stations
from kiosk.core.viewing.summaries import trip_state
from kiosk.core.views import Key, StopView

LINES = 6
"""So many lines the page holds."""


def conflict(g: Glance) -> StopView:
    """One conflict. Both records are kept, whatever is ruled."""
    about = g.turn.subject if g.turn else ""
    one = find_conflict(g.bench, g.desk, about)
    if one is None:
        return _page(g, title=g.words.say("conflict.gone_title"), sentence=g.words.say("conflict.gone"), lines=())
    match one.kind:
        case same_tray.KIND:
            return _same_tray(g, one)
        case "answers":
            return _answers(g, one)
        case "policy":
            return _policy(g, one)
        case _:
            return _record(g, one)


def _page(
    g: Glance, *, title: str, sentence: str, lines: tuple[str, ...], main: Key | None = None, keys: tuple[Key, ...] = ()
) -> StopView:
    return StopView(
        head=head(g, title=g.desk.bench),
        hand=back_hand(g, to=Turn(page=Page.NEEDS)),
        title=title,
        notice=g.said(),
        sentence=sentence,
        lines=lines[:LINES],
        main=main,
        others=keys,
    )


def _key(g: Glance, label: str, one: Noted, ruling: str, *, main: bool = False, name: str = "", **names: str) -> Key:
    send = RuleConflict(conflict=one.conflict, ruling=ruling)
    return g.key(label, send, kind="main" if main else "plain", name=name or f"rule {ruling}", **names)


def _same_tray(g: Glance, one: Noted) -> StopView:
    benches = stations(g.bench, g.desk)
    found = [(name, same_tray.trip_of(benches, name)) for name in same_tray.trips_of(one.conflict)]
    told = tuple(_trip_line(g, *each) for _, each in found if each is not None)
    return _page(
        g,
        title=g.words.say("conflict.same_tray_title", tray=one.what),
        sentence=g.words.say("conflict.same_tray"),
        lines=(*told, *g.words.lines("conflict.same_tray_lines")),
        main=_key(g, "conflict.two_trays", one, same_tray.TWO_TRAYS, main=True, name="rule two trays"),
        keys=tuple(_key(g, "conflict.this_trip", one, name, trip=name) for name, _ in found),
    )


def _trip_line(g: Glance, station: str, trip: Trip) -> str:
    """Where, how far, its count, and what was found: the worse of two is what counts."""
    say = g.words.say
    told = [trip_state(g, trip)] if trip.packed_ms is not None or trip.back_ms is not None else []
    if not told:
        told = [say("conflict.trip_open", time=g.since(trip.opened_ms))]
    if trip.differences:
        lines = "; ".join(
            say("conflict.count_line", line=name, have=have, want=want) for name, want, have in trip.differences
        )
        told.append(lines)
    else:
        told.append(say("conflict.count_ok" if trip.counted else "conflict.count_none"))
    found = [g.desk.findings[f.code].say for f in trip.findings if not f.put_right]
    if found:
        told.append(", ".join(dict.fromkeys(found)))
    return say("conflict.trip", station=station, trip=trip.id, told=" · ".join(told))


def _answers(g: Glance, one: Noted) -> StopView:
    say = g.words.say
    differs = answers_differ(g.bench, g.desk, one.what)
    counts = answer_of(g.bench, g.desk, one.what)
    told = tuple(
        say("conflict.said", station=each.station, answer=say(f"intake.said.{each.says}"), time=g.since(each.at_ms))
        for each in sorted(differs, key=_station)
    )
    return _page(
        g,
        title=say("conflict.answers_title", number=one.what),
        sentence=say("conflict.answers", answer=say(f"intake.said.{counts}")),
        lines=(*told, *g.words.lines("conflict.answers_lines")),
        keys=tuple(
            _key(g, f"conflict.answer.{says}", one, says) for says in dict.fromkeys(each.says for each in differs)
        ),
    )


def _station(each: Said) -> str:
    return each.station


def _policy(g: Glance, one: Noted) -> StopView:
    say = g.words.say
    benches = stations(g.bench, g.desk)
    left = two_policies.heads(two_policies.every_signed(benches.values()))
    told = tuple(_policy_line(g, benches, each, left) for each in left)
    return _page(
        g,
        title=say("conflict.policy_title", version=one.what),
        sentence=say("conflict.policy"),
        lines=(*told, *g.words.lines("conflict.policy_lines")),
        main=_key(g, "conflict.strictest", one, two_policies.STRICTEST, main=True, name="rule strictest"),
        keys=tuple(
            _key(g, "conflict.this_policy", one, each.mark, name=f"rule {at}", station=at)
            for each in left
            for at in [_signed_at(benches, each)]
        ),
    )


def _signed_at(benches: Mapping[str, Bench], each: SignedPolicy) -> str:
    return next((at for at, one in benches.items() if each in one.staff.policies), "")


def _policy_line(g: Glance, benches: Mapping[str, Bench], each: SignedPolicy, left: list[SignedPolicy]) -> str:
    """What this version says that the others do not."""
    others = [one for one in left if one.mark != each.mark]
    own = [key for key, value in each.values.items() if any(one.values.get(key) != value for one in others)]
    values = plain_values(two_policies.policy_of(g.desk.policy, each))
    said = " ".join(sentence(g.words, key, values[key]) for key in own) or g.words.say("conflict.policy_as_before")
    return g.words.say("conflict.policy_line", station=_signed_at(benches, each), said=said)


def _record(g: Glance, one: Noted) -> StopView:
    say = g.words.say
    benches = stations(g.bench, g.desk)
    left = two_records.differing(benches.values())[one.what]
    told = tuple(_record_line(g, benches, one.what, each) for each in left)
    return _page(
        g,
        title=say("conflict.record_title", what=record_what(g, one.what)),
        sentence=say("conflict.record"),
        lines=(*told, *g.words.lines("conflict.record_lines")),
        keys=tuple(
            _key(g, "conflict.this_record", one, each.mark, name=f"rule {at}", station=at)
            for each in left
            for at in [_kept_at(benches, one.what, each)]
        ),
    )


def _kept_at(benches: Mapping[str, Bench], key: str, each: KeptRecord) -> str:
    return next((at for at, one in benches.items() if one.staff.records.get(key) == each), "")


def _record_line(g: Glance, benches: Mapping[str, Bench], key: str, each: KeptRecord) -> str:
    told = each.why or each.source
    at = _kept_at(benches, key, each)
    return g.words.say("conflict.record_line", station=at, told=told, time=g.since(each.at_ms))

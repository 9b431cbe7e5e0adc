"""The rules of the count and the tray itself."""

from collections.abc import Callable
from typing import Any

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.catalogue import CountLine
from kiosk.core.commands import (
    ExtraIs,
    FoundIt,
    OpenMixed,
    Page,
    RuleDiscard,
    RuleExchanged,
    RuleExtra,
    RuleMixed,
    RuleOthers,
    Search,
    Turn,
    WantMark,
)
from kiosk.core.decide.holding import place_hold
from kiosk.core.decide.overridable import Overridable, Subjects
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.desk import Desk
from kiosk.core.dispositions import shorts
from kiosk.core.folds.counting import CLEAN_PLACES
from kiosk.core.stamp import local_time
from kiosk.core.state.bench import Bench
from kiosk.core.state.piece import TRAY, FindingOn
from kiosk.core.state.trip import Trip, wanted_here
from kiosk.core.together.matching import Match, matches, mixed_elsewhere, pattern_of
from kiosk.core.vocabulary import Disposition


def may_pack_short(bench: Bench, desk: Desk) -> tuple[Subjects, ...]:
    """The lines that may go short, all in one: never while one is short that the set is named after."""
    trip, policy = bench.trip, desk.policy
    if trip is None or trip.ended or not trip.counted or policy.missing_rule != "pack_short_by_supervisor":
        return ()
    if policy.missing_may_pack_short != "supervisor":
        return ()
    short = [line for line, _, _ in shorts(trip) if line not in trip.short_by and line in trip.search_over]
    if len(short) < len(shorts(trip)) - len(trip.short_by):
        return ()  # a line that nobody searched for is no gap to let go
    vital = {line.name for line in trip.tray.lines if line.vital}
    return (tuple(short),) if short and not vital & set(short) else ()


OVERRIDES = (
    Overridable(
        name="missing_pack_short",
        asked=may_pack_short,
        reasons=("not_found", "at_repair", "none_in_stock", "other"),
        seconds=frozenset({"override", "pack_short"}),
    ),
)
"""What a supervisor may let go on here."""

PLACES = ("sink", "racks", "trays", "linen", "waste")
"""Where a missing piece is looked for: sink, racks of the same load, its trays open or packed, linen, waste."""


def search(pen: Pen, command: Search) -> None:
    """The places searched so far. Searching ends for now when the person goes on."""
    if command.line not in {line for line, _, _ in shorts(pen.trip)} or not set(command.places) <= set(PLACES):
        raise Refused("refused.not_asked")
    pen.write(e.Searched(line=command.line, places=command.places, over=command.over))
    if not command.over:
        pen.turn = Turn(page=Page.SEARCH, subject=command.line)


def found_it(pen: Pen, command: FoundIt) -> None:
    """Found: where, and by whom. A place of another tray is no place to take a piece from."""
    if command.line not in {line for line, _, _ in shorts(pen.trip)}:
        raise Refused("refused.not_asked")
    if command.where not in PLACES or command.where == "trays" or command.by not in pen.desk.catalogue.people:
        raise Refused("refused.not_asked")
    pen.write(e.MissingFound(line=command.line, where=command.where, by=command.by))
    pen.say("notice.found_clean" if command.where in CLEAN_PLACES else "notice.found_soiled")


def extra_is(pen: Pen, command: ExtraIs) -> None:
    """Whose the extra piece may be. It stays here, with the tray, until the supervisor rules."""
    over = {line for line, want, have in pen.trip.differences if have > want}
    if command.line not in over:
        raise Refused("refused.not_asked")
    known = {(match.trip.tray.code, match.station) for match in matches(pen.bench, pen.desk, pen.trip, command.line)}
    if command.tray and (command.tray, command.station) not in known:
        raise Refused("refused.not_asked")
    pen.write(e.ExtraTold(line=command.line, tray=command.tray, station=command.station))
    pen.write(e.LeadTold(piece=command.line, why="extra"))
    pen.say("notice.extra_stays")


def rule_extra(pen: Pen, command: RuleExtra) -> None:
    """The extra piece leaves the tray, and it stays known where to."""
    pen.sign_ruling(command.by)
    over = {line for line, want, have in pen.trip.differences if have > want}
    if command.line not in over or command.where not in {"spares", "decontam"}:
        raise Refused("refused.not_asked")
    pen.write(e.ExtraPut(line=command.line, where=command.where), who=command.by)


def may_be_mixed(bench: Bench, desk: Desk) -> tuple[Match, ...]:
    """The trays that this one may be mixed with, the likeliest first, each once."""
    trip = bench.trip
    if trip is None or trip.ended or not trip.counted:
        return ()
    known = {(one.station, one.trip) for one in trip.mixed}
    found = (match for line, _, _ in trip.differences for match in matches(bench, desk, trip, line))
    each: dict[tuple[str, str], Match] = {}
    for match in sorted(found, key=lambda m: m.differs == 0):
        each.setdefault((match.station, match.trip.id), match)
    return tuple(match for at, match in each.items() if at not in known)


def mirrored(trip: Trip, other: Trip) -> tuple[tuple[str, str, int, int], ...]:
    """(line here, line there, listed there, lying there): what the other tray holds, if these two were mixed."""
    rows = []
    for line, want, have in trip.differences:
        pattern = pattern_of(trip, line)
        same = next((row for row in other.tray.lines if pattern_of(other, row.name) == pattern), None)
        if same is not None:
            rows.append((line, same.name, same.want, same.want - (have - want)))
    return tuple(rows)


def rule_mixed(pen: Pen, command: RuleMixed) -> None:
    """Two trays were mixed: both wait. One of this bench that is packed is opened, and its label is void."""
    pen.sign_ruling(command.by)
    match = next(
        (m for m in may_be_mixed(pen.bench, pen.desk) if (m.station, m.trip.id) == (command.station, command.trip)),
        None,
    )
    if match is None:
        raise Refused("refused.not_asked")
    other = match.trip
    rows = mirrored(pen.trip, other)
    holds = "; ".join(f"{there}: {lies} of {listed}" for _, there, listed, lies in rows)
    mixed = e.MixedTrays(
        tray=other.tray.code, trip=other.id, station=match.station, lines=tuple(row[0] for row in rows), holds=holds
    )
    pen.write(mixed, who=command.by)
    pen.write(e.LeadTold(piece=other.tray.code, why="mixed_trays"))
    if not match.station:
        open_mixed(pen, other, tuple(row[1] for row in rows), holds, by=command.by)
    pen.turn = Turn(page=Page.EXCHANGE, subject=command.by)


def open_mixed(pen: Pen, other: Trip, lines: tuple[str, ...], holds: str, *, by: str) -> None:
    """The other tray waits too. What was kept of its count stays, and the correction beside it."""
    for number in other.packages or ((other.package,) if other.packed_ms is not None else ()):
        if number == (other.packages or (other.package,))[0]:
            pen.write(e.TrayReopened(package=other.package, why="mixed"), trip=other.id, who=by)
        pen.write(e.LabelVoided(number=number, why="mixed"), trip=other.id, who=by)
    if other.counted:
        pen.write(e.Correction(piece=TRAY, key="count", was="as_listed", note=holds), trip=other.id, who=by)
    items = {row.item for row in other.tray.lines if row.name in lines and row.item}
    again = tuple(p.name for p in other.pieces.values() if p.plan.item in items and p.yes)
    pen.write(e.RepeatedAfterPause(pieces=again, count=True), trip=other.id)
    place_hold(pen, "mixed", lines, trip=other.id)


def rule_exchanged(pen: Pen, command: RuleExchanged) -> None:
    """Exchanged under the supervisor's eyes: what was exchanged is looked at anew, and the tray counted again."""
    pen.sign_ruling(command.by)
    mixed = next((one for one in pen.trip.mixed if not one.exchanged), None)
    if mixed is None:
        raise Refused("refused.not_asked")
    pen.write(e.Exchanged(tray=mixed.tray, lines=mixed.lines), who=command.by)
    items = {row.item for row in pen.trip.tray.lines if row.name in mixed.lines and row.item}
    again = tuple(p.name for p in pen.trip.pieces.values() if p.plan.item in items and p.yes)
    pen.write(e.RepeatedAfterPause(pieces=again, count=True))


def foreign_found(pen: Pen, finding: FindingOn) -> None:
    """What lies here is none of the tray's: its line is short, where it was counted."""
    line = line_of(pen.trip, finding)
    if not pen.trip.counted or line is None:
        return
    have = pen.trip.counts.get(line.name, 0) - 1
    if have >= 0:
        pen.write(e.CountShort(line=line.name, want=wanted_here(pen.trip, line), have=have))


def line_of(trip: Trip, finding: FindingOn) -> CountLine | None:
    """The count line of what was found: of its item, or the line that was touched for a piece without a lumen."""
    item = trip.pieces[finding.piece].plan.item
    named = {finding.place.landmark} if finding.piece == TRAY else set()
    return next((row for row in trip.tray.lines if row.item == item or row.name in named), None)


def to_discard(trip: Trip) -> tuple[FindingOn, ...]:
    """The single-use items that wait for the supervisor, oldest first."""
    held = {Disposition.HOLD, Disposition.SECOND_LOOK}
    return tuple(
        f
        for f in trip.findings
        if f.code == "single_use_found" and f.decided and trip.pieces[f.piece].disposition in held
    )


def rule_discard(pen: Pen, command: RuleDiscard) -> None:
    """The single-use item is thrown away; the note asks how long it has gone round."""
    pen.sign_ruling(command.by)
    finding = next((f for f in to_discard(pen.trip) if f.piece == command.piece), None)
    if finding is None or pen.desk.policy.single_use_rule != "hold_then_discard":
        raise Refused("refused.no_piece")
    line = line_of(pen.trip, finding)
    at_ms, trip = last_seen(pen.bench, pen.desk, pen.trip, line.name) if line else (0, "")
    earlier = f"{local_time(at_ms, pen.now.offset_min):%Y-%m-%d} {trip}" if trip else ""
    tag = f"R-{pen.desk.bench_number}{pen.bench.tags_issued + 1:04d}"
    done = e.Discarded(tag=tag, piece=finding.piece, n=finding.n, note=command.note, earlier=earlier)
    pen.write(done, who=command.by)
    pen.write(e.LeadTold(piece=finding.piece, why="look_back" if earlier else "single_use_found"))


def last_seen(bench: Bench, desk: Desk, trip: Trip, line: str) -> tuple[int, str]:
    """When, and on which trip of this tray, a line was last packed in full, as far as any station here told."""
    told = (
        other.seen[trip.tray.code].of(line) for other in (bench, *desk.others.values()) if trip.tray.code in other.seen
    )
    return max(told, default=(0, ""))


def of_others(trip: Trip) -> tuple[FindingOn, ...]:
    """What was found at the tray's own looks and waits for the supervisor; a doubt waits for a second person."""
    waits = {Disposition.HOLD, Disposition.REPAIR, Disposition.ITEM_BACK, Disposition.QUARANTINE}
    tray = trip.pieces.get(TRAY)
    if trip.ended or tray is None or tray.disposition not in waits:
        return ()
    mine = (f for f in trip.findings if f.piece == TRAY and f.decided and not (f.put_right or f.ruled))
    return tuple(f for f in mine if f.code != "single_use_found")


def may_be_settled(pen_desk: Desk, finding: FindingOn) -> bool:
    """May it be looked at again as it is? Not where it was damaged or soiled: then it must have left the tray."""
    return pen_desk.findings[finding.code].back is Disposition.HOLD


def rule_others(pen: Pen, command: RuleOthers) -> None:
    """What was found among the other pieces was taken out, or was settled; the look is asked again."""
    pen.sign_ruling(command.by)
    finding = next((f for f in of_others(pen.trip) if f.n == command.n), None)
    if finding is None or (not command.taken_out and not may_be_settled(pen.desk, finding)):
        raise Refused("refused.no_piece")
    line = line_of(pen.trip, finding) if command.taken_out else None
    pen.write(e.OthersRuled(n=finding.n, line=line.name if line else ""), who=command.by)
    if line is not None and pen.trip.counted:
        have = max(0, pen.trip.counts.get(line.name, line.want) - 1)
        pen.write(e.CountShort(line=line.name, want=wanted_here(pen.trip, line), have=have))


def open_elsewhere(pen: Pen, command: OpenMixed) -> None:
    """It is fetched and opened here: packed no more, its label void, counted again."""
    found = mixed_elsewhere(pen.bench, pen.desk)
    if found is None or found[0].id != command.trip or next_step(pen.bench, pen.desk).kind != "scan":
        raise Refused("refused.not_asked")
    other = found[0]
    with_tray = found[2]
    lines = tuple(line.name for line in other.tray.lines)
    open_mixed(pen, other, lines, with_tray, by=pen.bench.who or "")


def want_mark(pen: Pen, command: WantMark) -> None:
    """A piece without a mark of its own goes on the supervisor's list."""
    piece = pen.trip.pieces.get(command.piece)
    if piece is None or piece.item is None or piece.item.own_mark:
        raise Refused("refused.no_piece")
    if f"{pen.trip.tray.code}/{piece.plan.item}" in pen.bench.to_mark:
        raise Refused("refused.not_asked")
    pen.write(e.MarkWanted(piece=command.piece))
    pen.say("notice.mark_wanted")


RULES: dict[type, Callable[[Pen, Any], None]] = {
    Search: search,
    FoundIt: found_it,
    ExtraIs: extra_is,
    RuleExtra: rule_extra,
    RuleMixed: rule_mixed,
    RuleExchanged: rule_exchanged,
    RuleDiscard: rule_discard,
    RuleOthers: rule_others,
    OpenMixed: open_elsewhere,
    WantMark: want_mark,
}
BY_NOBODY: tuple[type, ...] = ()
"""Commands that need nobody signed in."""


def settle(pen: Pen) -> None:
    """Nothing follows by itself."""

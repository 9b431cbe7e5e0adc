"""The rules: a command, and the events it leads to, or a refusal. Pure; clock and plan maker come in as arguments."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.agenda import next_check, next_step
from kiosk.core.decide import (
    checking,
    cleaning_tests,
    counting,
    decontam,
    desk,
    keeping,
    kit,
    loads,
    looking,
    opening,
    overrides,
    packing,
    people,
    readings,
    references,
    safety,
    staff,
    stills,
    trays,
)
from kiosk.core.decide.holding import place_hold
from kiosk.core.decide.pen import Decision, Pen, Refused
from kiosk.core.desk import Desk, Now
from kiosk.core.dispositions import waits
from kiosk.core.exposure import ExposureNote
from kiosk.core.roles import GIVEN, OF_RIGHTS, name_of, refusal
from kiosk.core.state.bench import Bench

__all__ = ["Decision", "Refused", "decide"]

_PARTS = (
    cleaning_tests,
    counting,
    decontam,
    desk,
    keeping,
    kit,
    looking,
    overrides,
    readings,
    references,
    safety,
    staff,
    stills,
    trays,
)

_BENCH: dict[type, Callable[[Pen, Any], None]] = {
    c.Started: people.started,
    c.Scanned: opening.scanned,
    c.EnterPin: people.enter_pin,
    c.SignOut: people.sign_out,
    c.AnswerStartup: people.answer_startup,
    c.CountLine: opening.count_line,
    c.CountAll: opening.count_all,
    c.CountDiffers: opening.count_differs,
    c.OpenPiece: opening.open_piece,
    c.Answer: checking.answer,
    c.ReportFinding: checking.report,
    c.MovePlace: checking.move_place,
    c.TakeBack: checking.take_back,
    c.KeepPhoto: checking.keep_photo,
    c.NoPhoto: checking.no_photo,
    c.SetLabelTime: packing.set_label_time,
    c.PlaceIndicators: packing.indicators,
    c.ChoosePackaging: packing.packaging,
    c.PackAndPrint: packing.pack,
    c.PrintCame: packing.print_came,
    c.PrintAgain: packing.print_again,
    c.WriteByHand: packing.write_by_hand,
    c.Readable: packing.readable,
    c.StopHere: opening.stop_here,
    c.RuleQuarantine: packing.rule_quarantine,
    c.RuleSubstitute: packing.rule_substitute,
    c.StartAgain: people.start_again,
    c.ScopeBack: people.scope_back,
    c.CountAgain: opening.count_again,
    c.LetGo: opening.let_go,
    c.FirstAid: people.first_aid,
    c.FirstAidDone: people.first_aid_done,
}
_RULES = {**_BENCH, **{kind: rule for part in _PARTS for kind, rule in part.RULES.items()}}

_STEPS: dict[str, Callable[[Pen, c.StepDone], None]] = {
    "put_right": checking.put_right,
    "bench": packing.bench_step,
    "gloves": packing.gloves,
    "scope": packing.scope_cleaned,
    "sharp": safety.sharp_secured,
}


_BY_NOBODY = (
    *(c.Started, c.Scanned, c.EnterPin, c.SignOut, c.PrintCame, c.FirstAid, c.FirstAidDone),
    *(kind for part in _PARTS for kind in part.BY_NOBODY),
)
"""Commands that need nobody signed in."""

BEFORE_ANYBODY = (c.Started, c.BeginDepartment, c.Heard, c.PrintCame, c.StopAll, c.FirstAid, c.FirstAidDone)
"""Commands that are followed while nobody is known here: first aid, the first supervisor, and what comes by itself."""


def decide(bench: Bench, command: c.Command, desk: Desk, now: Now, *, note: ExposureNote | None = None) -> Decision:
    """The events that `command` leads to on this bench. Raises Refused with the key of one sentence.

    `note`: the exposure note that lies open, if one does.
    """
    if not desk.catalogue.people and not isinstance(command, BEFORE_ANYBODY):
        raise Refused("refused.begin_first")
    if bench.who is None and not isinstance(command, _BY_NOBODY):
        raise Refused("refused.sign_in_first")
    pen = Pen(bench=bench, desk=desk, now=now, note=note)
    try:
        _held_to_role(bench, command, desk)
        _follow(pen, command)
    except Refused as refused:
        if refused.key not in OF_RIGHTS:
            raise
        return _try_refused(Pen(bench=bench, desk=desk, now=now), command, refused)
    return pen.decision()


def _held_to_role(bench: Bench, command: c.Command, desk: Desk) -> None:
    """What the role of whoever sends or signs the command does not allow is refused before any rule is asked."""
    people = desk.catalogue.people
    signer = people.get(str(getattr(command, "by", "")))
    against = refusal(command, people.get(bench.who or ""), signer)
    if against is not None:
        key, who = against
        raise Refused(key, name=who.name if who else getattr(command, "by", ""), who=who.id if who else "")


def _try_refused(pen: Pen, command: c.Command, refused: Refused) -> Decision:
    """A try at what is not theirs is kept, and nothing else of it."""
    signs = type(command) in GIVEN or isinstance(command, c.EnterPin | c.GiveOverride)
    by = str(getattr(command, "person" if isinstance(command, c.EnterPin) else "by", "")) if signs else ""
    person = refused.names.get("who") or (by if by in pen.desk.catalogue.people else pen.bench.who or "")
    tried = e.TryRefused(person=person, what=name_of(command), why=OF_RIGHTS[refused.key])
    pen.write(tried, who=person or None, off_trip=True)
    pen.say(refused.key, **refused.names)
    return replace(pen.decision(), refused=True)


def _follow(pen: Pen, command: c.Command) -> None:
    match command:
        case c.Confirm():
            _confirm(pen, command)
        case c.StepDone():
            _STEPS.get(command.step, _no_step)(pen, command)
        case _:
            _RULES[type(command)](pen, command)
    _settle(pen)


def _no_step(pen: Pen, command: c.StepDone) -> None:
    raise Refused("refused.not_asked")


def _confirm(pen: Pen, command: c.Confirm) -> None:
    if command.what in {"covered", "opened"}:
        opening.confirm_covered(pen, command.subject, covered=command.what == "covered")
        return
    kind = next_step(pen.bench, pen.desk).kind
    match kind:
        case "decide":
            checking.confirm_decision(pen, command)
        case "plan_hold" | "check":
            checking.confirm_plan_hold(pen, command)
        case "put_right":
            checking.stays_out(pen, command)
        case "load_bad":
            loads.send_back(pen, command)
        case "shelf" if command.what == "item_back":
            checking.stays_out(pen, command)
        case "shelf" | "special":
            opening.shelf(pen, command)
        case _:
            raise Refused("refused.not_asked")


def _settle(pen: Pen) -> None:
    """What follows by itself: a scope that met soil, a paper that is due, a tray that now waits."""
    for part in _PARTS:
        part.settle(pen)
    trip = pen.bench.trip
    if trip is None:
        return
    for kept in tuple(pen.kept):
        if isinstance(kept.event, e.Found) and kept.stamp.trip == trip.id:
            checking.scope_after_finding(pen, pen.trip.finding(kept.event.n))
    if not pen.trip.ended:
        checking.plan_anew(pen)
    trip = pen.trip
    waiting = waits(trip)
    over = tuple(h.id for h in trip.holds if h.waits_for and not any(name in waiting for name in h.waits_for))
    if over:
        pen.write(e.HoldReleased(holds=over, why="nothing waits"))
        trip = pen.trip
    if trip.tasks and trip.tasks[0].kind == "print":
        task = trip.tasks[0]
        if not any(j.doc == task.doc and j.number == task.number for j in trip.jobs):
            pen.write(e.PrintAsked(doc=task.doc, number=task.number))
    step = next_step(pen.bench, pen.desk)
    if step.kind == "shelf" or (step.kind == "readable" and _nothing_left(pen)):
        held = {name for hold in trip.holds for name in hold.waits_for}
        new = tuple(name for name in waits(pen.trip) if name not in held)
        if new:
            place_hold(pen, "waits", new)


def _nothing_left(pen: Pen) -> bool:
    """Is the tray only waiting, once the papers are read?"""
    trip = pen.trip
    return not trip.ended and next_check(trip) is None and bool(waits(trip))

"""Bench cleaning, gloves, scopes; weight, indicators, packaging; papers and what came of them; rulings."""

from dataclasses import replace

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.commands import (
    ChoosePackaging,
    PackAndPrint,
    Page,
    PlaceIndicators,
    PrintAgain,
    PrintCame,
    Readable,
    RuleQuarantine,
    RuleSubstitute,
    SetLabelTime,
    StepDone,
    Turn,
    WriteByHand,
)
from kiosk.core.competency import wants_cosign
from kiosk.core.decide.desk_papers import report_came
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.desk import Desk
from kiosk.core.dispositions import OUT, shorts
from kiosk.core.evolve import WIPING_STEP
from kiosk.core.spares import spares_for
from kiosk.core.stamp import local_time
from kiosk.core.startup import kit_today
from kiosk.core.state.bench import Bench
from kiosk.core.state.jobs import Job
from kiosk.core.state.piece import is_missing
from kiosk.core.state.trip import Trip
from kiosk.core.vocabulary import Disposition
from kiosk.core.weight import all_weighed

FULL_STEPS = 5
"""Steps of a full bench cleaning; their words stand under `bench.full` in the words."""
WET_STEP = WIPING_STEP + 1
"""Of them the one that keeps the bench wet (from 0): it is not done before the label time is over."""


def bench_step(pen: Pen, command: StepDone) -> None:
    """A step of the bench cleaning. A full one needs the wet time from the label, and that it has run."""
    step = next_step(pen.bench, pen.desk)
    if step.kind != "bench" or step.task is None:
        raise Refused("refused.not_asked")
    level = step.task.level
    if level != "full":
        pen.write(e.BenchCleaned(level=level))
        return
    minutes = wet_minutes(pen.bench, pen.desk)
    if step.task.step == WIPING_STEP and minutes is None:
        raise Refused("refused.label_time")
    if step.task.step < WET_STEP:
        pen.write(e.BenchStepDone(step=step.task.step))
        return
    since = pen.bench.wet_since_ms
    if since is not None and since > pen.now.at_ms:  # the clock was set back: nobody knows how long it was wet
        pen.write(e.BenchStepDone(step=WIPING_STEP))
        pen.say("notice.clock_back")
        return
    if minutes is not None and since is not None and pen.now.at_ms - since < minutes * 60_000:
        raise Refused("refused.still_wetting")
    if step.task.step < FULL_STEPS - 1:
        pen.write(e.BenchStepDone(step=step.task.step))
        return
    pen.write(e.BenchCleaned(level=level, wet_minutes=minutes))


def wet_minutes(bench: Bench, desk: Desk) -> int | None:
    """The disinfectant's wet time: policy's, else what was read from the label at this bench."""
    policy = desk.policy.bench_contact_minutes
    return int(policy) if policy is not None else bench.label_minutes


def set_label_time(pen: Pen, command: SetLabelTime) -> None:
    """The wet time as the label says it."""
    if not 0 < command.minutes <= 60:
        raise Refused("refused.minutes")
    pen.write(e.LabelTimeSet(minutes=command.minutes))


def gloves(pen: Pen, command: StepDone) -> None:
    """New gloves on."""
    if next_step(pen.bench, pen.desk).kind != "gloves":
        raise Refused("refused.not_asked")
    pen.write(e.GlovesChanged())


def scope_cleaned(pen: Pen, command: StepDone) -> None:
    """The scope was cleaned by its IFU."""
    step = next_step(pen.bench, pen.desk)
    if step.kind != "scope":
        raise Refused("refused.not_asked")
    pen.write(e.ScopeCleaned(scope=step.scope))


def _packing(pen: Pen) -> None:
    if next_step(pen.bench, pen.desk).kind != "pack":
        raise Refused("refused.not_ready")


def indicators(pen: Pen, command: PlaceIndicators) -> None:
    """Indicators inside."""
    _packing(pen)
    want = indicators_wanted(pen.trip)
    if command.count < want:
        raise Refused("refused.indicators", want=want)
    pen.write(e.IndicatorsPlaced(count=command.count))


def indicators_wanted(trip: Trip) -> int:
    """How many the set record asks for; of a split set at least one in each package."""
    return max(trip.tray.indicators, trip.parts)


def packaging(pen: Pen, command: ChoosePackaging) -> None:
    """Packaging of the set record."""
    _packing(pen)
    if command.kind not in pen.trip.tray.packaging:
        raise Refused("refused.packaging")
    pen.write(e.PackagingChosen(kind=command.kind))


def pack(pen: Pen, command: PackAndPrint) -> None:
    """Packed complete: the package number is given, sheet and label go to the printer."""
    _packing(pen)
    trip = pen.trip
    if trip.indicators is None or not trip.packaging:
        raise Refused("refused.not_ready")
    if trip.tray.weighed and not all_weighed(trip):
        raise Refused("refused.weigh_first")
    if wants_cosign(trip, pen.desk):
        raise Refused("refused.cosign_first")
    numbers = [package_number(pen, ahead) for ahead in range(max(1, trip.parts))]
    parts = tuple(numbers) if trip.parts else ()
    short = sum(want - have for _, want, have in shorts(trip))
    if short:
        pen.write(e.PackedShort(number=numbers[0], parts=parts, short=short))
    else:
        pen.write(e.Packed(number=numbers[0], parts=parts))
    copy = sum(job.doc == "tray_sheet" for job in trip.jobs)  # of a tray opened again: the sheet is a further print
    pen.write(e.PrintAsked(doc="tray_sheet", number=trip.id, copy=copy))
    for number in numbers:
        pen.write(e.PrintAsked(doc="package_label", number=number))


def package_number(pen: Pen, ahead: int = 0) -> str:
    """Bench, day and a running number: unique offline, never used twice. `ahead`: of the packages that follow it."""
    day = local_time(pen.now.at_ms, pen.now.offset_min)
    return f"B{pen.desk.bench_number}-{day:%y%m%d}-{(pen.bench.packages + ahead) % 9999 + 1:04d}"


def print_came(pen: Pen, command: PrintCame) -> None:
    """What came of a print."""
    job = _asked(pen.bench.jobs, command)
    if job is not None:
        report_came(pen, command, job)
        return
    trip = next((t for t in pen.bench.trips.values() if _asked(t.jobs, command) is not None), None)
    if trip is None:
        return
    if command.why:
        pen.write(e.PrinterLost(doc=command.doc, number=command.number, why=command.why), trip=trip.id)
        return
    if pen.bench.printer_down:
        pen.write(e.PrinterRestored(), trip=trip.id)
    where, number = command.where, command.number
    if command.copy:
        pen.write(e.Reprinted(doc=command.doc, number=number, copy=command.copy), trip=trip.id)
    match command.doc:
        case "tray_sheet":
            pen.write(e.SheetPrinted(number=number, where=where), trip=trip.id)
        case "package_label":
            pen.write(e.LabelPrinted(number=number, where=where), trip=trip.id)
        case "return_ticket":
            pen.write(e.TicketPrinted(number=number, where=where), trip=trip.id)
        case _:
            pen.write(e.TagPrinted(doc=command.doc, number=number, where=where), trip=trip.id)


def _asked(jobs: tuple[Job, ...], command: PrintCame) -> Job | None:
    wanted = (command.doc, command.number, command.copy)
    return next((j for j in jobs if (j.doc, j.number, j.copy) == wanted and not j.settled), None)


def print_again(pen: Pen, command: PrintAgain) -> None:
    """Ask for the failed papers once more."""
    for job in _failed(pen):
        pen.write(e.PrintAsked(doc=job.doc, number=job.number, copy=job.copy))


def _failed(pen: Pen) -> list[Job]:
    newest = {(job.doc, job.number): job for job in pen.trip.jobs}
    failed = [job for job in newest.values() if job.why and not job.settled]
    if not failed:
        raise Refused("refused.not_asked")
    return failed


def write_by_hand(pen: Pen, command: WriteByHand) -> None:
    """Copied by hand from the screen: nothing of it prints by itself later."""
    form = f"H-{command.form:03d}" if command.form else ""
    if form and any(sent.form == form for sent in pen.bench.sent.values()):
        raise Refused("refused.form_used", form=form)
    for job in _failed(pen):
        pen.write(e.Handwritten(doc=job.doc, number=job.number, form=form if job.doc == "return_ticket" else ""))


def readable(pen: Pen, command: Readable) -> None:
    """Did the papers come out readable? NO prints a marked copy; a label gets a new number."""
    papers = [job for job in pen.trip.jobs if job.settled and job.readable is None]
    if not papers:
        raise Refused("refused.not_asked")
    for job in papers:
        pen.write(e.PaperRead(doc=job.doc, number=job.number, readable=command.yes))
    if command.yes:
        if pen.trip.ended:
            pen.turn = Turn(page=Page.DONE)
        return
    for job in papers:
        if job.doc == "package_label":
            new = package_number(pen)
            pen.write(e.LabelVoided(number=job.number, why="unreadable", new=new))
            pen.write(e.PrintAsked(doc=job.doc, number=new))
        else:
            pen.write(e.PrintAsked(doc=job.doc, number=job.number, copy=job.copy + 1))


def rule_quarantine(pen: Pen, command: RuleQuarantine) -> None:
    """The supervisor puts a held piece in quarantine."""
    piece = _ruled(pen, command.by, command.piece)
    held = pen.trip.pieces[piece]
    if held.disposition is not Disposition.HOLD or is_missing(held):
        raise Refused("refused.no_piece")
    n = next((f.n for f in reversed(pen.trip.findings) if f.piece == piece and not f.put_right), 0)
    tag = f"R-{pen.desk.bench_number}{pen.bench.tags_issued + 1:04d}"
    pen.write(e.Quarantined(tag=tag, piece=piece, n=n, note=command.note), who=command.by)


def _ruled(pen: Pen, by: str, piece: str) -> str:
    pen.sign_ruling(by)
    known = pen.trip.pieces.get(piece)
    if known is None or known.disposition not in OUT or piece in pen.trip.replaced:
        raise Refused("refused.no_piece")
    return piece


def rule_substitute(pen: Pen, command: RuleSubstitute) -> None:
    """A like-for-like spare takes the piece's place; it gets its own checks."""
    piece = _ruled(pen, command.by, command.piece)
    if pen.desk.policy.substitute_rule == "never":
        raise Refused("refused.no_substitute")
    spare = pen.desk.catalogue.spares.get(command.spare)
    if spare is None:
        raise Refused("refused.no_spare", code=command.spare)
    out = pen.trip.pieces[piece].item
    if out is None or spare not in spares_for(pen.bench, pen.desk.catalogue, out):
        raise Refused("refused.not_alike")
    if pen.trip.pieces[piece].disposition is Disposition.TRAY_BACK:
        raise Refused("refused.no_piece")
    one = replace(spare, qty=1)
    pen.write(e.Replaced(out=piece, item=one), who=command.by)
    kit, out_of_use = kit_today(pen.bench, pen.desk)
    pen.write(e.PlanShown(plans=pen.desk.make_plan((one,), pen.desk.policy, kit, out_of_use)))

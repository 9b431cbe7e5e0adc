"""Commands out of turn of decontam, the desk, looking again, gauging: names right, old and wrong."""

from dataclasses import replace

from kiosk.core import commands as c
from tests.core.department import EAR, Shift

WHO = ("S1", "T1", "D1", "nobody")


def of_looking(shift: Shift) -> list[c.Send]:
    """What is found besides the checks: recalls, what fell, joints, pins and sizes."""
    trip = shift.bench.trip
    pieces = ["nothing", *(trip.pieces if trip else ())]
    ways = [(p, way) for p in pieces for way in ("bore", "nothing")]
    notices = ["nothing", *shift.bench.notices]
    sends: list[c.Send] = [c.StopList(notice=n, marks=("M-1",), types=t) for n in ("", "7") for t in ((), ("tube",))]
    sends += [c.StopListMark(notice=n, mark="M-2") for n in notices] + [c.LiftStop(notice=n) for n in notices]
    sends += [c.StopListLot(notice=n, lot="7719") for n in notices]
    sends += [c.StopWithdraw(notice=n, kind=k, value="M-1") for n in notices for k in ("mark", "lot", "?")]
    sends += [c.AnswerRecall(piece=p, here=here) for p in pieces for here in (True, False)]
    sends += [c.Dropped(piece=p) for p in pieces] + [c.Dropped(piece="", line=line) for line in ("Forceps", "nothing")]
    sends += [c.SuspectPathogen(), *(c.RulePathogen(by=by, note="n") for by in WHO)]
    sends += [c.Call(answered=yes) for yes in (True, False)] + [c.LookIntoJoint(soil=yes) for yes in (True, False)]
    sends += [c.ReportOther(), *(c.NoDirtyCheck(piece=p) for p in pieces)]
    sends += [
        c.Measure(piece=p, lumen=way, goes=goes, stops=stops, length="120")
        for p, way in ways
        for goes, stops in (("1.2", "1.4"), ("2", "1"), ("x", ""))
    ]
    sends += [c.RuleSize(by=by, piece=p, lumen=way, everywhere=all_) for by in ("S1", "T1") for p, way in ways
              for all_ in (True, False)]  # fmt: skip
    sends += [c.CorrectSize(by=by, piece=p, lumen=way, inside=mm, length=long) for by in ("S1", "T1") for p, way in ways
              for mm, long in (("2.4", "90"), ("x", "90"), ("2.4", ""))]  # fmt: skip
    sends += [c.RuleOthers(by=by, n=n, taken_out=out) for by in ("S1", "T1") for n in (1, 2) for out in (True, False)]
    return sends + [c.OpenMixed(trip=trip) for trip in ("nothing", *shift.bench.packed)]


def of_decontam(shift: Shift) -> list[c.Send]:
    """Decontam's answers, sent from a bench of the clean side."""
    tickets = ["nothing", *(ticket.number for trip in shift.bench.trips.values() for ticket in trip.tickets)]
    sends: list[c.Send] = [c.ReceiveTicket(ticket=t, by=by) for t in tickets for by in ("scan", "?")]
    sends += [send for t in tickets for send in (c.NotHere(ticket=t), c.SeeAbsent(ticket=t))]
    sends += [c.AnswerTicket(ticket=t, says=says) for t in tickets for says in ("found_cleaned", "damaged", "?")]
    sends += [c.CheckDirty(tray=tray, pieces=("A1",)) for tray in (EAR, "nothing")]
    sends += [c.SendBackClean(ticket=t, load="W-1") for t in tickets]
    jobs = [(trip.id, job) for trip in shift.bench.trips.values() for job in trip.jobs]
    sends += [c.PrintCopy(trip=trip, doc=job.doc, number=job.number) for trip, job in jobs]
    return [*sends, c.PrintCopy(trip="nothing", doc="tray_sheet", number="1"), c.Heard(), c.TellRoomMade(count=2)]


def of_the_desk(shift: Shift) -> list[c.Send]:
    """People, records and the policy, by whoever is signed in. T1 stays as it is, so that somebody can work."""
    sends: list[c.Send] = [
        c.ChooseSetting(key=k, value=v) for k in ("language", "side", "?") for v in ("es", "left", "?")
    ]
    sends += [
        c.KeepPerson(person=p, name="Person", role=r, may="") for p in ("", "T2", "nobody") for r in ("tech", "?")
    ]
    sends += [c.KeepPerson(person="T2", badge=badge) for badge in ("T1", "B-77", "")]
    sends += [c.LendBadge(person=p, badge=badge) for p in ("T2", "nobody") for badge in ("DAY-1", "T1", "")]
    sends += [c.SetPin(person="T2", pin=pin, salt="00") for pin in ("", "12", "x")]
    sends += [c.SignCompetency(by=by, person=p, method="scope") for by in WHO for p in ("T1", "T2", "nobody")]
    sends += [c.SignBeside(by=by) for by in WHO]
    rules = (("fail_limit", "2"), ("missing_rule", '"hold"'), ("missing_rule", '"?"'), ("nothing", "1"))
    sends += [c.DraftRule(key=key, value=value) for key, value in rules] + [c.DropDraft()]
    sends += [c.SignPolicy(by=by, start=start) for by in WHO for start in ("now", "midnight", "?")]
    sends += [c.KeepTray(tray=t, name="Set", line="Forceps", want=n) for t in (EAR, "nothing") for n in (0, 3, -1)]
    sends += [
        c.KeepItem(tray=EAR, item=item, field=field, value=value, lumen="bore")
        for item in ("A1", "nothing")
        for field, value in (("inside_mm", "2.5"), ("inside_mm", "x"), ("length_mm", "0"), ("?", "1"))
    ]
    sends += [c.KeepKit(field=field, value=value) for field in ("swabs", "?") for value in ("2.0", "x")]
    sends += [c.KeepLoad(load=load, released=yes) for load in ("W-1", "W-2", "") for yes in (True, False)]
    read = c.KeepCleaningTest(kind="atp", unit="RLU", method="swab", meter="M-1", about=f"tray={EAR}")
    sends += [replace(read, value=value, meter=meter) for value in ("", "5", "x", "9999") for meter in ("M-1", "-", "")]
    sends += [c.KeepCleaningTest(kind=kind, unit=unit) for kind in ("other", "?") for unit in ("RLU", "?")]
    tests = ["nothing", *(test.number for test in shift.bench.tests.kept)]
    sends += [c.AnswerCleaningTest(test=t, done=done) for t in tests for done in ("back", "mistyped", "?")]
    return [*sends, c.BeginLesson(lesson="nothing")]

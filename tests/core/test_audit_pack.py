"""The audit pack: each trip by the policy that it ran under, every such policy as it was, and nobody by name."""

from kiosk.core import commands as c
from kiosk.core.papers import Report
from tests.core.department import EAR, PIN, PLAIN, Shift
from tests.core.test_desk import paper
from tests.core.test_policy_versions import department, sign
from tests.core.test_shift_summary import texts


def packed(shift: Shift, tray: str) -> None:
    shift.sign_in("T1")
    shift.open(tray)
    shift.count()
    shift.yes_to_all()
    shift.pack()
    shift.tidy()
    shift.must(c.SignOut())


def pack_over_two_policies() -> tuple[Shift, Report]:
    """A tray under version 1, one under version 2; version 3 is in force when the pack is drawn."""
    shift = department()
    packed(shift, PLAIN)
    for limit in ("2", "4"):
        shift.must(c.EnterPin(person="S1", pin=PIN), c.DraftRule(key="fail_limit", value=limit))
        sign(shift)
        shift.must(c.SignOut())
        if limit == "2":
            packed(shift, EAR)
    shift.must(c.EnterPin(person="S1", pin=PIN), c.DrawAudit(many=20))
    return shift, paper(shift, "audit_pack")


def test_the_pack_holds_every_policy_that_its_trips_ran_under_and_no_other() -> None:
    _, report = pack_over_two_policies()
    titles = [section.title for section in report.sections]
    assert [title for title in titles if title.startswith("Policy version")] == ["Policy version 1", "Policy version 2"]
    said = texts(report)
    assert "Return number 3 in a row goes to quarantine." in said
    assert "Return number 2 in a row goes to quarantine." in said
    assert "Return number 4 in a row" not in said


def test_each_trip_page_names_the_version_it_ran_under() -> None:
    shift, report = pack_over_two_policies()
    pages = {section.title: {line.label: line.value for line in section.lines} for section in report.sections}
    for trip in shift.bench.trips.values():
        (page,) = [lines for title, lines in pages.items() if title.endswith(trip.id)]
        assert page["Policy version"] == str(trip.policy)


def test_the_pack_says_what_somebody_is_and_never_who() -> None:
    shift = department()
    shift.sign_in("T1")
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.bore.swab")
    shift.no("dent")
    shift.confirm("repair")
    shift.must(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
    shift.tidy()
    shift.yes_to_all()
    shift.pack()
    shift.tidy()
    shift.must(c.SignOut(), c.EnterPin(person="S1", pin=PIN), c.DrawAudit(many=20))
    said = texts(paper(shift, "audit_pack"))
    assert "by supervisor" in said
    assert "Person" not in said

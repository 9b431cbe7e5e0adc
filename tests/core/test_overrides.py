"""Overrides: who may let what go on, with whom beside, what nobody may, and what is kept of it (POLICY, part C)."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.catalogue import Person
from kiosk.core.commands import Page
from kiosk.core.composing import Order, compose
from kiosk.core.decide.overrides import offers
from kiosk.core.dispositions import dispositions
from kiosk.core.meaning import Kind
from kiosk.core.papers import PackageLabel, TraySheet
from kiosk.core.past.counters import summary
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.vocabulary import Disposition, Role
from tests.core.department import EAR, PIN, Shift, names, people, scan
from tests.core.short import GIVE, second, short


def counted(shift: Shift) -> dict[str, int]:
    shifts = shift.desk.policy.shifts
    return summary(shift.log, shift_of(local_time(shift.at_ms, 0), shifts), shift.desk.policy)


def test_a_supervisor_packs_short_with_a_second_person_and_the_papers_say_so() -> None:
    shift = short()
    given = shift.must(replace(GIVE, words="three are enough"))
    assert names(given) == ["override_given"]
    assert dispositions(shift.trip)[EAR] is Disposition.HOLD  # nothing goes on before the second person agreed
    done = second(shift)
    assert names(done) == ["override_done", "hold_released"]
    assert shift.log[-2].stamp.who == "S1"
    assert shift.log[-2].stamp.policy == shift.trip.policy
    shift.yes_to_all()
    packed = shift.pack()
    assert names(packed)[2:3] == ["packed_short"]
    assert dispositions(shift.trip)[EAR] is Disposition.PACK_SHORT
    sheet = compose(shift.session.glance(), Order(trip=shift.trip, doc="tray_sheet", number=shift.trip.id))
    label = compose(shift.session.glance(), Order(trip=shift.trip, doc="package_label", number=shift.trip.package))
    assert isinstance(sheet, TraySheet)
    assert isinstance(label, PackageLabel)
    boxed = " ".join(sheet.exceptions)
    assert "SHORT: Forceps, 3 of 4" in boxed
    for word in ("not found; three are enough", "Person T1", "Person S1", "Person T2"):
        assert word in boxed
    assert label.alerts == ("SHORT 1",)
    totals = counted(shift)
    assert (totals["trays_packed"], totals["trays_packed_short"], totals["overrides"]) == (0, 1, 1)


def test_the_tech_never_lets_the_tray_go_alone() -> None:
    shift = short()
    shift.yes_to_all()
    assert shift.step.kind == "shelf"
    refused = shift.send(replace(GIVE, by="T1"))
    assert names(refused) == ["override_refused"]
    assert shift.refused == "refused.override.not_supervisor"
    assert shift.step.kind == "shelf"


def test_a_supervisor_never_overrides_their_own_work() -> None:
    shift = short(who="S1")
    assert names(shift.send(GIVE)) == ["override_refused"]
    assert shift.refused == "refused.override.own_work"
    allowed = short(who="S1", self_override=True)
    assert names(allowed.send(GIVE)) == ["override_given"]


def test_the_second_person_is_neither_who_asked_nor_who_gave_it() -> None:
    shift = short()
    shift.must(GIVE)
    for who in ("T1", "S1"):
        tried = shift.send(c.EnterPin(person=who, pin=PIN, second="override"))
        assert names(tried) == ["override_refused", "pin_taken"]
        assert shift.refused == "refused.same_person"
        assert names(shift.send(c.SecondOnOverride(by=who, yes=True))) == ["override_refused"]
    assert shift.trip.overrides == ()
    assert counted(shift)["overrides_refused"] == 4
    second(shift)
    assert len(shift.trip.overrides) == 1


def test_a_second_person_who_does_not_agree_leaves_it_as_it_is() -> None:
    shift = short()
    shift.must(GIVE)
    shift.must(c.EnterPin(person="T2", pin=PIN, second="override"))
    assert names(shift.send(c.SecondOnOverride(by="T2", yes=False))) == ["override_refused"]
    assert (shift.trip.overrides, shift.bench.overrides_given) == ((), {})
    assert shift.trip.holds


def test_a_policy_without_a_second_person_asks_for_none() -> None:
    shift = short(second_person=[])
    assert names(shift.must(GIVE)) == ["override_given", "override_done", "hold_released"]


@pytest.mark.parametrize(
    ("what", "subject"),
    [("single_use_found", "A1"), ("red_mark", "A1"), ("still_wet", "A1"), ("insulation_break", "A3"),
     ("recalled", "A1"), ("use_limit", "A1"), ("not_apart", "A3"), ("swab_left", "A1"), ("part_broken_off", "A1"),
     ("load_not_released", "W-2"), ("planned_check_skipped", "A1")],
)  # fmt: skip
def test_what_stands_on_the_never_list_is_refused_and_the_try_is_kept(what: str, subject: str) -> None:
    shift = short()
    tried = shift.send(replace(GIVE, what=what, subjects=(subject,)))
    assert names(tried) == ["override_refused"]
    assert shift.refused == "refused.override.never"
    assert counted(shift)["overrides_refused"] == 1
    assert counted(shift)["overrides"] == 0


def test_a_piece_with_a_finding_of_the_never_list_is_never_the_subject_of_an_override() -> None:
    shift = short()
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    tried = shift.send(replace(GIVE, subjects=("A1",)))
    assert names(tried) == ["override_refused"]
    assert shift.refused == "refused.override.never"


def test_what_policy_does_not_list_is_never_offered_and_a_try_is_kept() -> None:
    shift = short(may_override=["not_seen"])
    assert offers(shift.bench, shift.session.desk) == ()
    assert names(shift.send(GIVE)) == ["override_refused"]
    assert shift.refused == "refused.override.not_listed"


def test_a_refused_try_stands_on_no_paper() -> None:
    shift = short()
    shift.send(replace(GIVE, by="T2"))
    shift.must(GIVE)
    second(shift)
    shift.yes_to_all()
    shift.pack()
    sheet = compose(shift.session.glance(), Order(trip=shift.trip, doc="tray_sheet", number=shift.trip.id))
    assert isinstance(sheet, TraySheet)
    assert sum("Pack short" in line for line in sheet.exceptions) == 1
    assert "refused" not in " ".join(sheet.exceptions)


def test_another_reason_wants_words_and_no_time_is_none() -> None:
    shift = short()
    assert shift.send(replace(GIVE, reason="other")) == []
    assert shift.refused == "refused.reason_words"
    assert shift.send(replace(GIVE, reason="no_time")) == []
    assert names(shift.send(replace(GIVE, reason="other", words="lent out"))) == ["override_given"]


def test_the_item_the_set_is_named_after_is_never_missing_from_a_package() -> None:
    shift = short(vital=True)
    assert offers(shift.bench, shift.session.desk) == ()
    assert shift.send(GIVE) == []
    assert shift.refused == "refused.not_asked"


def test_a_department_that_holds_what_is_short_offers_no_packing_short() -> None:
    assert offers(short(missing_rule="hold").bench, short(missing_rule="hold").session.desk) == ()


def test_the_lone_night_tech_has_it_approved_on_the_phone_and_it_is_signed_for_at_the_next_sign_in() -> None:
    shift = short()
    shift.must(replace(GIVE, phone=True))
    done = shift.must(c.NoSecondHere())
    assert names(done) == ["override_done", "hold_released"]
    assert shift.log[-2].stamp.who == "T1"  # who touched; the supervisor is named, and has not signed
    one = shift.trip.overrides[0]
    assert (one.by, one.phone, one.alone, one.second) == ("S1", True, True, "")
    sheet = compose(shift.session.glance(), Order(trip=shift.trip, doc="tray_sheet", number=shift.trip.id))
    assert isinstance(sheet, TraySheet)
    assert any("by phone, no second person there" in line for line in sheet.exceptions)
    shift.must(c.SignOut(), c.EnterPin(person="T2", pin=PIN))
    assert shift.step.kind != "cosign"
    shift.must(c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    assert shift.step.kind == "cosign"
    assert names(shift.must(c.Cosign(n=one.n, yes=True))) == ["override_cosigned"]
    assert shift.bench.unsigned == ()
    assert shift.step.kind != "cosign"


def test_a_supervisor_who_does_not_sign_for_it_puts_it_on_the_leads_list() -> None:
    shift = short()
    shift.must(replace(GIVE, phone=True), c.NoSecondHere(), c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    assert names(shift.must(c.Cosign(n=1, yes=False))) == ["override_cosigned", "lead_told"]


def test_a_department_without_phone_approval_leaves_the_hold() -> None:
    shift = short(phone_approval="never")
    assert shift.send(replace(GIVE, phone=True)) == []
    assert shift.refused == "refused.no_phone"
    assert shift.trip.holds


def test_an_absent_second_person_is_only_done_without_where_policy_lists_it() -> None:
    shift = short(may_override=["missing_pack_short"])
    shift.must(GIVE)
    assert shift.send(c.NoSecondHere()) == []
    assert shift.refused == "refused.not_asked"
    view = shift.session.view()
    shift.session.turn = c.Turn(page=Page.NAMES, subject="second:override:")
    view = shift.session.view()
    assert c.NoSecondHere() not in [key.send for key in view.hand.right]


def test_the_pages_lead_from_the_supervisors_badge_to_the_second_persons_answer() -> None:
    shift = short()
    shift.yes_to_all()
    shift.must(c.EnterPin(person="S1", pin=PIN, ruling=True))

    def touch(name: str) -> None:
        view = shift.session.view()
        keys = [*getattr(view, "keys", ()), *getattr(view, "others", ()), getattr(view, "main", None)]
        key = next(key for key in keys if key is not None and key.name == name)
        assert key.send is not None
        shift.must(key.send)

    touch("override")
    touch("reason not_found")
    assert isinstance(shift.session.view(), v.StopView)
    touch("override.give")
    asked = shift.session.view()
    assert isinstance(asked, v.SignInView)
    assert [key.name for key in asked.people] == ["T2"]
    shift.must(scan("T2", Kind.PERSON))
    shift.must(c.EnterPin(person="T2", pin=PIN, second="override"))
    shown = shift.session.view()
    assert isinstance(shown, v.AskView)
    assert "Forceps, 3 of 4" in shown.help
    assert shown.yes.send is not None
    shift.must(shown.yes.send)
    assert shift.step.kind == "pack"


def test_another_supervisor_may_rule_on_a_supervisors_tray() -> None:
    other = Person(id="S2", name="Person S2", role=Role.SUPERVISOR, badge="S2", pin_hash=people()["S1"].pin_hash)
    shift = short(who="S1")
    catalogue = replace(shift.session.desk.catalogue, people={**people(), "S2": other})
    shift.session.use(replace(shift.session.desk, catalogue=catalogue))
    assert names(shift.send(replace(GIVE, by="S2"))) == ["override_given"]


def test_an_override_that_waits_survives_a_restart() -> None:
    shift = short()
    shift.must(GIVE)
    assert shift.folded() == shift.bench
    assert shift.folded().overrides_given[shift.trip.id].by == "S1"

"""What a department chose in its policy is what the bench does. Source of the choices: common practice, no source."""

import pytest

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core.limits import air_kpa, is_long
from kiosk.core.place import Place
from kiosk.core.policy import plain_values
from kiosk.core.policy_words import sentence
from kiosk.core.viewing import view
from kiosk.core.views import AskView, DecisionView, MenuView
from kiosk.core.vocabulary import Disposition
from tests.core.department import EAR, Shift, at_work
from tests.lumen.bench import tube


def still_wet(**policy: object) -> Shift:
    shift = at_work(EAR, **policy)
    shift.yes_until("A1.bore.dry")
    for _ in range(2):
        shift.no("clear_drops")
        shift.must(c.StepDone(step="put_right"))
    shift.no("clear_drops")
    return shift


@pytest.mark.parametrize("rule", ["item_back", "tray_back", "hold"])
def test_what_is_still_wet_after_the_last_try_goes_where_the_department_says(rule: str) -> None:
    shift = still_wet(after_dry_tries=rule)
    assert shift.trip.findings[-1].code == "still_wet"
    page = view(shift.session.glance())
    assert isinstance(page, DecisionView)
    assert page.main is not None
    assert page.main.send == c.Confirm(what=Disposition(rule))


def held_back(**policy: object) -> Shift:
    shift = at_work(EAR, **policy)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit", Place(lumen="bore", at_mm=70))
    shift.confirm("item_back")
    shift.tidy()
    return shift


def test_a_department_without_spares_lets_none_take_a_place_and_offers_none() -> None:
    shift = held_back(substitute_rule="never")
    assert shift.send(c.RuleSubstitute(by="S1", piece="A1", spare="X1")) == []
    assert shift.refused == "refused.no_substitute"
    usual = held_back()
    assert _spare_offered(usual)
    assert not _spare_offered(shift)


def _spare_offered(shift: Shift) -> bool:
    shift.send(c.Turn(page=c.Page.RULING, subject="S1"))
    page = view(shift.session.glance())
    assert isinstance(page, MenuView)
    return any(isinstance(key.send, c.Turn) and key.send.page is c.Page.SPARE for key in page.keys)


def test_a_lumen_over_the_length_or_the_bores_of_the_policy_is_called_long_on_its_card() -> None:
    policy = resources.policy({"long_over_mm": 300, "long_ratio": 150})
    sizes = (("3", "300", False), ("3", "301", True), ("1", "151", True), (None, "200", False), ("1", None, False))
    assert [is_long(tube(bore, length), policy) for bore, length, _ in sizes] == [long for _, _, long in sizes]
    for over, long in ((149, True), (150, False)):
        shift = at_work(EAR, long_over_mm=over)
        shift.yes_until("A1.bore.dry")
        page = view(shift.session.glance())
        assert isinstance(page, AskView)
        assert any("both ends" in fact for fact in page.facts) is long


def test_a_house_figure_for_air_never_lifts_what_an_ifu_allows() -> None:
    usual, house = resources.policy(), resources.policy({"air_limit": 100})
    ifus = (None, 200, 70)
    assert [air_kpa(tube("0.7", "100", air=kpa), usual) for kpa in ifus] == [None, 200, 70]
    assert [air_kpa(tube("0.7", "100", air=kpa), house) for kpa in ifus] == [100, 100, 70]


def test_a_house_figure_for_air_is_told_with_its_unit_and_its_limits() -> None:
    told = sentence(resources.words(), "air_limit", 100)
    assert told == "Air pressure: at most 100 kPa, never above the IFU's; also where the IFU names none."


@pytest.mark.parametrize("value", ["ifu_only", 100])
def test_the_air_limit_reads_as_it_was_written(value: object) -> None:
    assert str(plain_values(resources.policy({"air_limit": value}))["air_limit"]) == str(value)

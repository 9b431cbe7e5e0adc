"""What a person sets for themselves goes with the badge, and nothing moves under the hands."""

from dataclasses import replace

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.evolve import evolve
from kiosk.core.meaning import Kind
from kiosk.core.settings import CHOICES
from kiosk.core.state.bench import Bench
from kiosk.core.views import AskView, MenuView, PinView, SignInView
from tests.core.department import PIN, Shift, at_work, scan
from tests.core.department import desk as small_desk


def _shift(shift: Shift | None = None) -> Shift:
    shift = shift or Shift()
    shift.session.tongues = resources.tongues()
    return shift


def _choose(shift: Shift, key: str, value: str) -> None:
    shift.must(c.ChooseSetting(key=key, value=value))


def test_a_language_is_redrawn_in_place_and_is_there_again_at_the_next_sign_in() -> None:
    shift = _shift(at_work())
    shift.must(c.Turn(page=c.Page.STOP))
    english = shift.session.view()
    _choose(shift, "language", "es")
    spanish = shift.session.view()
    assert isinstance(spanish, MenuView)
    assert shift.session.turn == c.Turn(page=c.Page.STOP)
    assert spanish.title == resources.words("es").say("stop.title") != english.title
    shift.must(c.Turn(), c.SignOut())
    assert shift.session.view().title == resources.words().say("sign_in.title")
    shift.must(c.Turn(page=c.Page.PIN, subject="T1"))
    assert shift.session.view().title == resources.words("es").say("pin.title", name="Person T1")
    shift.sign_in("T1")
    assert shift.session.view().title == resources.words("es").say("scan.title")


def test_keys_of_a_language_stand_in_its_own_words_at_sign_in_and_in_stop_here() -> None:
    shift = _shift()
    view = shift.session.view()
    assert isinstance(view, SignInView)
    key = next(key for key in view.hand.left if key.name == "language es")
    assert key.label == "Español"
    assert key.send is not None
    shift.must(key.send)
    view = shift.session.view()
    assert view.title == resources.words("es").say("sign_in.title")
    assert [key.label for key in view.hand.left] == ["English"]
    shift.must(scan("T2", Kind.PERSON))
    assert isinstance(shift.session.view(), PinView)
    shift.must(c.EnterPin(person="T2", pin=PIN))
    assert shift.log[-1].event == e.SettingChosen(person="T2", key="language", value="es")
    shift.must(c.Turn(page=c.Page.STOP))
    assert "English" in [key.label for key in shift.session.view().hand.right]


def test_the_language_touched_at_sign_in_does_not_change_that_of_somebody_who_has_one() -> None:
    shift = _shift(at_work())
    _choose(shift, "language", "en")
    shift.must(c.SignOut(), c.Turn(page=c.Page.NAMES, language="es"), c.EnterPin(person="T1", pin=PIN))
    assert shift.session.view().title == resources.words().say("scan.title")
    assert shift.session.language == ""


def test_the_yes_side_and_the_hand_never_move_within_a_sign_in() -> None:
    shift = _shift(at_work())
    _choose(shift, "yes", "left")
    _choose(shift, "hand", "left")
    _choose(shift, "text", "larger")
    now = shift.session.settings()
    assert (now.yes, now.hand, now.text) == ("right", "right", "larger")
    shift.must(c.SignOut())
    shift.sign_in("T1")
    now = shift.session.settings()
    assert (now.yes, now.hand, now.text) == ("left", "left", "larger")
    shift.must(c.SignOut())
    shift.sign_in("T2")
    assert shift.session.settings().yes == "right"


def test_a_setting_is_heard_by_the_other_stations_and_follows_the_badge() -> None:
    here, there = _shift(at_work()), _shift()
    _choose(here, "reach", "low")
    _choose(here, "yes", "left")
    there.session.hear("B2", here.log)
    there.at_ms = here.at_ms + 60_000
    there.sign_in("T1")
    assert (there.session.settings().reach, there.session.settings().yes) == ("low", "left")


def test_somebody_else_at_the_glass_is_spoken_to_in_their_own_language() -> None:
    shift = _shift(at_work())
    _choose(shift, "language", "es")
    assert isinstance(shift.session.view(), AskView)
    shift.must(c.Turn(page=c.Page.PIN, subject="second:look:T2"))
    assert shift.session.view().title == resources.words().say("pin.second_title", name="Person T2")
    shift.must(c.Turn(page=c.Page.RULING, subject="S1"))
    assert shift.session.view().title == resources.words().say("ruling.title", name="Person S1")
    shift.must(c.Turn())
    assert shift.session.view().title == resources.words("es").say("check.basket.title")


def test_papers_speak_the_language_of_the_house() -> None:
    shift = _shift(at_work())
    _choose(shift, "language", "es")
    assert shift.session.paper_glance().words == resources.words()
    house = _shift(Shift(desk=small_desk(house_language="es")))
    assert house.session.paper_glance().words == resources.words("es")
    assert house.session.view().title == resources.words("es").say("sign_in.title")


def test_what_is_kept_of_a_place_is_in_the_words_of_the_house_whoever_looks() -> None:
    shift = _shift(at_work())
    _choose(shift, "language", "es")
    step = shift.step
    while not (step.check and step.check.key == "look"):
        shift.yes()
        step = shift.step
    shift.must(c.Answer(piece=step.piece, key="look", yes=False, took_ms=9000))
    view = shift.session.view()
    names = [mark.name for mark in view.landmarks]  # type: ignore[union-attr]
    assert names[-4:] == ["joint", "shaft", "handle", "all over it"]


def test_a_setting_nobody_knows_is_not_taken_and_an_old_one_never_stops_a_bench() -> None:
    shift = _shift(at_work())
    shift.send(c.ChooseSetting(key="language", value="xx"))
    assert shift.refused == "refused.not_asked"
    kept = replace(shift.log[-1], event=e.SettingChosen(person="T1", key="tone", value="loud"))
    shift.session.bench = evolve(shift.bench, kept)
    assert shift.session.settings().language == ""


def test_the_settings_page_turns_each_setting_once_round_and_names_how_it_stands() -> None:
    shift = _shift(at_work())
    shift.must(c.Turn(page=c.Page.SETTINGS))
    for key, values in CHOICES.items():
        seen = []
        for _ in values:
            view = shift.session.view()
            assert isinstance(view, MenuView)
            touch = next(each for each in view.keys if each.name == f"setting {key}")
            seen.append(touch.label)
            assert touch.send is not None
            shift.must(touch.send)
            assert shift.session.turn == c.Turn(page=c.Page.SETTINGS)
        assert len(set(seen)) == len(values)
    assert shift.folded() == shift.bench != Bench()

"""A tap that the store could not keep is said until the same hands do something that is kept."""

from collections.abc import Sequence

from kiosk.core import commands as c
from kiosk.core.session import NotKept
from kiosk.core.stamp import Kept
from tests.core.department import EAR, Shift


def full(kepts: Sequence[Kept]) -> None:
    raise NotKept("the disk is full")


def a_count_that_was_not_kept() -> Shift:
    shift = Shift()
    shift.sign_in()
    shift.open(EAR)
    shift.session.keep = full
    assert shift.send(c.CountLine(line="Forceps", have=3)) == []
    assert shift.refused == "refused.not_saved"
    return shift


def test_a_tap_that_is_not_kept_moves_nothing_and_is_said_each_time() -> None:
    shift = a_count_that_was_not_kept()
    stood = shift.bench
    shift.send(c.CountLine(line="Forceps", have=3))
    assert (shift.refused, shift.bench) == ("refused.not_saved", stood)


def test_once_there_is_room_the_same_count_is_kept_and_the_warning_is_gone() -> None:
    shift = a_count_that_was_not_kept()
    shift.session.keep = shift.log.extend
    assert shift.send(c.CountLine(line="Forceps", have=3))
    assert shift.refused == ""


def test_what_comes_by_itself_and_is_kept_takes_no_warning_away() -> None:
    shift = a_count_that_was_not_kept()
    shift.session.keep = shift.log.extend
    assert shift.send(c.TellBackup(file="B1.sqlite3", seq=1))
    assert shift.refused == "refused.not_saved"

"""Signing in over a real store: what holds after the program was started again."""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Person
from kiosk.core.desk import Now
from kiosk.core.session import Session
from kiosk.core.tries import STOP_AFTER, TRIES
from kiosk.core.vocabulary import Role
from kiosk.desk import directory
from kiosk.pins import ARGON2_FORM
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE
from tests.core.department import MORNING, PIN
from tests.core.department import desk as small_desk

SALT = "0b" * 16
DAY_MS = 24 * 3_600_000


def of_before(pin: str) -> str:
    """A hash of before, at the cost of the tests."""
    salt = bytes(range(16))
    made = hashlib.scrypt(pin.encode(), salt=salt, n=16, r=8, p=1, dklen=32)
    return f"scrypt${salt.hex()}${made.hex()}"


@contextmanager
def started(folder: Path, at_ms: int = MORNING, **people: Person) -> Iterator[Session]:
    """The program over the store in `folder`, from its start to its end; its clock stands at `at_ms`."""
    store = BenchStore(folder, "B1")
    desk = small_desk()
    desk = replace(desk, catalogue=replace(desk.catalogue, people={**desk.catalogue.people, **people}))
    moment = [at_ms]

    def clock() -> Now:
        moment[0] += 1000
        return Now(at_ms=moment[0], offset_min=0)

    yield Session(
        bench=store.bench(),
        desk=replace(desk, records=store.records),
        words=resources.words(),
        clock=clock,
        keep=store.keep,
    )
    store.close()


def sent(session: Session, *sends: c.Send) -> list[e.Event]:
    return [kept.event for send in sends for kept in session.send(send)]


def test_a_wait_and_a_stop_outlive_a_restart(tmp_path: Path) -> None:
    with started(tmp_path) as session:
        sent(session, *(TRIES * [c.EnterPin(person="T1", pin="0000")]))
    with started(tmp_path, MORNING + 10_000) as session:
        assert sent(session, c.EnterPin(person="T1", pin=PIN)) == []
        assert session.notice is not None
        assert session.notice[0] == "refused.too_many_tries"
    for n in range(TRIES, STOP_AFTER):
        with started(tmp_path, MORNING + n * 1_000_000) as session:
            (event,) = sent(session, c.EnterPin(person="T1", pin="0000"))
            assert event == e.SignInRefused(person="T1", tries=n + 1)
    with started(tmp_path, MORNING + 30 * DAY_MS) as session:
        assert sent(session, c.EnterPin(person="T1", pin=PIN)) == []
        assert session.notice is not None
        assert session.notice[0] == "refused.badge_stopped"
        assert [type(event) for event in sent(session, c.EnterPin(person="T2", pin=PIN))] == [e.SignedIn]


def test_a_hash_of_before_is_replaced_at_the_next_right_number_and_the_new_one_counts_after_a_restart(
    tmp_path: Path,
) -> None:
    old = Person(id="O1", name="Person O1", role=Role.TECH, badge="O1", pin_hash=of_before("482915"))
    enter = c.EnterPin(person="O1", pin="482915", salt=SALT)
    with started(tmp_path, O1=old) as session:
        assert [type(event) for event in sent(session, replace(enter, pin="000000"))] == [e.SignInRefused]
        assert [type(event) for event in sent(session, enter)] == [e.PinHashedAnew, e.SignedIn]
        assert ARGON2_FORM.fullmatch(session.desk.catalogue.people["O1"].pin_hash)
        sent(session, c.SignOut())
        assert [type(event) for event in sent(session, enter)] == [e.SignedIn]
    with started(tmp_path, MORNING + 10_000_000, O1=old) as session:
        assert ARGON2_FORM.fullmatch(session.desk.catalogue.people["O1"].pin_hash)
        sent(session, c.SignOut())
        assert [type(event) for event in sent(session, enter)] == [e.SignedIn]
    assert b"482915" not in (tmp_path / FILE).read_bytes()


def test_a_hash_made_anew_never_brings_back_a_number_that_was_changed_meanwhile(tmp_path: Path) -> None:
    old = Person(id="O1", name="Person O1", role=Role.TECH, badge="O1", pin_hash=of_before("482915"))
    with started(tmp_path / "there", MORNING + 5_000_000, O1=old) as there:
        late = there.send(c.EnterPin(person="O1", pin="482915", salt=SALT))
    with started(tmp_path / "here", O1=old) as here:
        sent(here, c.EnterPin(person="S1", pin=PIN), c.SetPin(person="O1", pin="112233", salt=SALT), c.SignOut())
        here.hear("B2", late)
        assert [type(event) for event in sent(here, c.EnterPin(person="O1", pin="482915"))] == [e.SignInRefused]
        assert [type(event) for event in sent(here, c.EnterPin(person="O1", pin="112233"))] == [e.SignedIn]


def test_a_day_badge_opens_until_the_day_ends_and_ends_by_itself_over_a_restart(tmp_path: Path) -> None:
    with started(tmp_path) as session:
        lend = c.LendBadge(person="T1", badge="spare-7")
        (lent,) = sent(session, c.EnterPin(person="S1", pin=PIN), lend, c.SignOut())[1:2]
        assert isinstance(lent, e.DayBadgeLent)
    midnight = (MORNING // DAY_MS + 1) * DAY_MS
    assert lent.until_ms == midnight
    for at_ms, whose in ((midnight - 60_000, "T1"), (midnight, None)):
        with started(tmp_path, at_ms) as session:
            sent(session, c.Started(last_alive_ms=None))
            known = directory(session.desk.catalogue)("spare-7")
            assert (known.text if known else None) == whose


def test_the_first_supervisor_is_known_after_a_restart_and_no_number_stands_in_the_file(tmp_path: Path) -> None:
    store = BenchStore(tmp_path, "B1")
    desk = small_desk()
    desk = replace(desk, catalogue=replace(desk.catalogue, people={}))

    def session() -> Session:
        return Session(
            bench=store.bench(), desk=desk, words=resources.words(),
            clock=lambda: Now(at_ms=MORNING, offset_min=0), keep=store.keep,
        )  # fmt: skip

    sent(session(), c.BeginDepartment(name="Ines Verity", badge="9000123", pin="314159", salt=SALT))
    again = session()
    assert [person.name for person in again.desk.catalogue.people.values()] == ["Ines Verity"]
    sent(again, c.SignOut())
    assert [type(event) for event in sent(again, c.EnterPin(person="P1-1", pin="314159"))] == [e.SignedIn]
    begin = c.BeginDepartment(name="Other", badge="1", pin="314159", salt=SALT)
    assert sent(again, begin) == [e.TryRefused(person="P1-1", what="begin_department", why="role")]
    assert len(again.desk.catalogue.people) == 1
    store.close()
    assert b"314159" not in b"".join(path.read_bytes() for path in tmp_path.iterdir() if path.is_file())

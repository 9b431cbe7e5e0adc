"""A set of pictures in the small department, and readers who answer it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.desk import Desk
from kiosk.core.readings import ReadingPicture
from kiosk.core.views import ReadingView
from kiosk.quality.reading_figure import figure
from tests.core.department import PIN, Shift, desk, people

SET = "0f" * 16


def pictures(many: int = 4) -> tuple[ReadingPicture, ...]:
    """So many pictures, named 1, 2, 3."""
    return tuple(ReadingPicture(name=str(n), file=f"reading_{n}.png", sha256=f"{n:064x}") for n in range(1, many + 1))


def many_readers(more: int = 3) -> Desk:
    """The small department with some more techs, R1 and on."""
    base = desk()
    known = {
        f"R{n}": replace(people()["T1"], id=f"R{n}", name=f"Person R{n}", badge=f"R{n}") for n in range(1, more + 1)
    }
    return replace(base, catalogue=replace(base.catalogue, people={**people(), **known}), agreeing=figure)


def with_set(many: int = 4, *, shift: Shift | None = None, name: str = "2031-Q1", number: str = SET) -> Shift:
    """A set was made at the machine; nobody is signed in."""
    shift = shift or Shift(desk=many_readers())
    shift.must(c.MakeReadingSet(set=number, name=name, pictures=pictures(many)))
    return shift


def sign_in(shift: Shift, who: str) -> None:
    """Whoever stood there signs out, and `who` in."""
    if shift.bench.who:
        shift.must(c.SignOut())
    shift.must(c.EnterPin(person=who, pin=PIN))


def asked(shift: Shift) -> str:
    """The name of the picture that is asked now, by its file."""
    view = shift.session.view()
    assert isinstance(view, ReadingView), type(view)
    return view.picture.removeprefix("reading_").removesuffix(".png")


def reads(shift: Shift, who: str, says: Mapping[str, str], *, number: str = SET, most: int = 99) -> list[str]:
    """`who` answers at most so many pictures as `says` has it, in the order in which they are asked; that order."""
    sign_in(shift, who)
    shift.must(c.BeginReading(set=number))
    order: list[str] = []
    while isinstance(shift.session.view(), ReadingView) and len(order) < most:
        name = asked(shift)
        order.append(name)
        shift.must(c.ReadPicture(set=number, picture=name, says=says[name]))
    return order


def all_read(shift: Shift, rows: Mapping[str, Sequence[str]], *, number: str = SET) -> None:
    """Everybody named answers picture 1, 2, 3 ... as their row says; S1 ends the set."""
    for who, row in rows.items():
        reads(shift, who, {str(n): says for n, says in enumerate(row, 1)}, number=number)
    sign_in(shift, "S1")
    shift.must(c.EndReadingSet(set=number))


def of_readings(shift: Shift) -> list[e.Event]:
    """What was kept of the practice."""
    kinds = (e.ReadingSetMade, e.ReadingBegun, e.PictureRead, e.ReadingSetEnded)
    return [kept.event for kept in shift.log if isinstance(kept.event, kinds)]

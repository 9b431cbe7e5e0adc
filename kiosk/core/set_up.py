"""The walk of the set-up: which pages, in which order, and what an answer makes of the station. Pure."""

from collections.abc import Collection
from dataclasses import dataclass, field, replace
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from typing import Any

from kiosk.core.policy_choices import NUMBERS
from kiosk.core.settings import CHOICES
from kiosk.core.station import Station, mean_offset

LEAST_FINE, MOST_FINE = 2.0, 20.0
"""Pixels a millimeter that a panel can have: beyond them no card was held to the glass (a choice, no source)."""

LATER = "later"
"""What is answered later: the bench works without it and says so."""


class Ask(StrEnum):
    """A page of the set-up. Each asks one thing."""

    LANGUAGE = "language"
    BENCH = "bench"
    CARD = "card"  # a badge card is held to the glass
    TOUCH = "touch"  # four dots are touched
    PRINTER = "printer"
    PRINTED = "printed"  # did the test page come out?
    SCANNER = "scanner"
    CAMERA = "camera"
    PICTURE = "picture"  # does its picture stand here?
    CLOCK = "clock"
    FIRST_AID = "first_aid"
    WET = "wet"  # the disinfectant's wet time
    CATALOGUE = "catalogue"


OF_DEPARTMENT = frozenset({Ask.LANGUAGE, Ask.BENCH, Ask.WET, Ask.CATALOGUE})
"""Asked once, before there is a department: later a log keeps its name, and the policy takes two signatures."""

TRIED = {Ask.PRINTED: Ask.PRINTER, Ask.PICTURE: Ask.CAMERA}
"""A page that tries something -> the page on which that was chosen; where none was, nothing is tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A file or folder that may be taken over. `path` names it, `name` is as it is read, `about` where it lies."""

    path: str
    name: str
    about: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """What there is around the station while it is set up. `given`: pages that the call itself has answered.

    `code`: modules of the code that is shown to the scanner, rows from the top, True dark. `picture`: how the source
    of pictures stands, by its key. `busy`: something runs that takes its time.
    """

    panel: str = ""
    queues: tuple[str, ...] = ()
    cameras: tuple[str, ...] = ()
    catalogues: tuple[Source, ...] = ()
    first_aid: tuple[Source, ...] = ()
    code: tuple[tuple[bool, ...], ...] = ()
    code_text: str = ""
    line_mm: int = 0  # of the line on the test page
    given: Collection[Ask] = field(default_factory=frozenset)
    picture: str = ""
    busy: bool = False


class NotTaken(Exception):
    """An answer that can not be meant. `key` is its sentence, `names` what fills it."""

    def __init__(self, key: str, **names: Any) -> None:
        super().__init__(key)
        self.key, self.names = key, names


def pages(station: Station, machine: Machine) -> tuple[Ask, ...]:
    """Every page that this station is asked, in order."""
    return tuple(ask for ask in Ask if ask not in machine.given and _applies(ask, station))


def _applies(ask: Ask, station: Station) -> bool:
    if ask is Ask.BENCH:
        return Ask.WET not in station.answered  # from there on there is a store, and its name stays
    match TRIED.get(ask):
        case Ask.PRINTER:
            return bool(station.printer)
        case Ask.CAMERA:
            return bool(station.camera)
        case _:
            return True


def next_page(station: Station, machine: Machine) -> Ask | None:
    """The first page that is not answered; None: the station is set up. Another panel is measured anew."""
    return next((ask for ask in pages(station, machine) if not _answered(ask, station, machine)), None)


def _answered(ask: Ask, station: Station, machine: Machine) -> bool:
    of_panel = ask not in {Ask.CARD, Ask.TOUCH} or station.panel == machine.panel
    return ask in station.answered and of_panel


def before(ask: Ask, station: Station, machine: Machine) -> Ask | None:
    """The page before this one."""
    walk = pages(station, machine)
    at = walk.index(ask) if ask in walk else 0
    return walk[at - 1] if at else None


def begin_again(station: Station) -> Station:
    """The station as a supervisor sets it up again: what is of the machine is asked anew, its values stay."""
    return replace(station, answered=tuple(ask for ask in station.answered if ask in OF_DEPARTMENT))


def take(station: Station, machine: Machine, ask: Ask, value: str) -> Station:
    """The station with this answer. Raises NotTaken."""
    match ask:
        case Ask.LANGUAGE:
            if value not in CHOICES["language"]:
                raise NotTaken("setup.not_there")
            station = replace(station, language=value)
        case Ask.BENCH:
            station = replace(station, bench=_whole(value, 1, 99))
        case Ask.CARD:
            station = _measured(station, machine, value)
        case Ask.TOUCH:
            station = replace(station, touch_mm=mean_offset(_pairs(value)), panel=machine.panel)
        case Ask.PRINTER:
            if value and value not in machine.queues:
                raise NotTaken("setup.not_there")
            station = replace(_asked_again(station, Ask.PRINTED), printer=value)
        case Ask.PRINTED | Ask.PICTURE:
            if value != "yes":  # another one is chosen
                return _asked_again(station, TRIED[ask], ask)
        case Ask.SCANNER:
            if value not in {machine.code_text, LATER}:
                raise NotTaken("setup.other_code", code=value[:24])
        case Ask.CAMERA:
            if value and value not in machine.cameras:
                raise NotTaken("setup.not_there")
            station = replace(_asked_again(station, Ask.PICTURE), camera=f"camera:{value}" if value else "")
        case Ask.WET:
            if value != LATER:
                _minutes(value)
        case _:
            pass
    return replace(station, answered=(*(one for one in station.answered if one != ask), ask.value))


def _asked_again(station: Station, *asks: Ask) -> Station:
    return replace(station, answered=tuple(one for one in station.answered if one not in asks))


def _measured(station: Station, machine: Machine, value: str) -> Station:
    """Another fineness makes the dots of before worth nothing."""
    fine = _number(value)
    if not LEAST_FINE <= fine <= MOST_FINE:
        raise NotTaken("setup.no_card")
    return replace(_asked_again(station, Ask.TOUCH), px_per_mm=round(fine, 4), panel=machine.panel, touch_mm=(0.0, 0.0))


def _number(value: str) -> float:
    try:
        return float(value)
    except ValueError as fault:
        raise NotTaken("setup.no_number") from fault


def _whole(value: str, least: int, most: int) -> int:
    if not (value.isascii() and value.isdigit() and least <= int(value) <= most):
        raise NotTaken("setup.range", least=least, most=most)
    return int(value)


def _pairs(value: str) -> tuple[tuple[float, float], ...]:
    """ "0.4 -0.8 0.2 0.1" as offsets in mm, right and down."""
    numbers = [_number(one) for one in value.split()]
    return tuple(zip(numbers[::2], numbers[1::2], strict=True))


def _minutes(value: str) -> Decimal:
    least, most = NUMBERS["bench_contact_minutes"]
    try:
        number = Decimal(value)
    except InvalidOperation as fault:
        raise NotTaken("setup.range", least=least, most=most) from fault
    if not least <= number <= most:
        raise NotTaken("setup.range", least=least, most=most)
    return number

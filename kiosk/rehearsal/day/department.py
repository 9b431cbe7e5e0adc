"""The day's department: the demo department with more sets, each tray once, and what befalls it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from random import Random
from typing import Any

from kiosk.core.catalogue import Catalogue, CountLine, Load, Tray
from kiosk.core.vocabulary import Role
from kiosk.rehearsal.month import DEMO, Watch, in_the_story
from kiosk.store.catalogue_files import load_catalogue

BENCHES = ("B1", "B2")
DIRTY = "D1"
STATIONS = (*BENCHES, DIRTY)
WASHED = "W-8800"
"""The load that brings back what decontam answered for."""
PLAIN = (
    "Bone hand tools", "Foot tools", "Plastic hand tools", "Vein tools", "Skin graft tools", "Hernia set",
    "Breast set", "Cesarean set", "Thyroid set", "Minor set",
)  # fmt: skip
"""Trays without a lumen: about two thirds of what comes (the rough size of the work; a planning estimate)."""

PLAIN_SETS = 8
LUMEN_SETS = "AB"
TRAYS_A_LOAD = 6
LINES = ("Artery clamp curved", "Needle holder", "Tissue forceps", "Retractor small", "Scissors curved", "Towel clamp")


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """A tray that comes to a bench: when (Unix milliseconds), and what befalls it, or ""."""

    at_ms: int
    bench: str
    tray: str
    load: str
    befalls: str = ""


BEFALLS_LUMENS: Mapping[str, int] = {
    "soil_item": 5, "soil_scope": 1, "soil_by_hand": 1, "soil_tray": 2, "not_apart": 1, "wet": 3, "wet_to_the_end": 1,
    "stiff": 1, "fiber": 1, "unsure": 2, "undo": 2, "repair": 1, "spare": 2, "paused": 2, "away": 1, "power_cut": 1,
    "soil_twice": 2, "handed": 1,
    "blocked": 1, "swab_left": 1, "single_use": 1,
}  # fmt: skip
"""What befalls trays with lumens: how often in the day."""

BEFALLS_ANY: Mapping[str, int] = {
    "short": 2, "pack_short": 1, "pack_short_phone": 1, "opened_again": 1, "over": 1,
    "wrong_scan": 3, "wrong_tray": 1, "label_again": 2, "by_hand": 1,
    "loose_soil": 1,
    "load_not_released": 1, "first_aid": 1,
}  # fmt: skip
"""What befalls trays of any kind."""


FOUND: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "soil_item": (("teeth", "swab", "look"), ("bone_grit",)),
    "soil_by_hand": (("swab", "look"), ("white_deposit",)),
    "soil_scope": (("scope", "swab"), ("brown_film",)),
    "soil_tray": (("swab", "air", "look"), ("red_mark",)),
    "not_apart": (("apart", "look"), ("not_apart",)),
    "wet": (("dry",), ("clear_drops",)),
    "wet_to_the_end": (("dry",), ("clear_drops",) * 3),
    "stiff": (("look",), ("stiff",)),
    "fiber": (("look",), ("fiber",)),
    "repair": (("look",), ("crack",)),
    "spare": (("look",), ("crack",)),
    "blocked": (("air", "swab"), ("blocked",)),
    "swab_left": (("swab",), ("swab_left",)),
    "single_use": (("look",), ("single_use_found",)),
    "loose_soil": (("basket",), ("tissue",)),
}
"""What befalls -> the checks it is seen at, the first that is planned; what is found there, each time it is asked."""

IN_HAND: dict[str, str] = {"unsure": "cant_tell", "undo": "corrected_answer"}
"""What befalls -> what the hand does at one of the answers."""


def department() -> Catalogue:
    """The demo department, each of its trays in several sets, and plain trays. Everybody has the story's PIN."""
    demo = in_the_story(load_catalogue(DEMO, bench="B1"))
    trays: dict[str, Tray] = {}
    for number, set_ in enumerate(LUMEN_SETS, 1):
        for tray in demo.trays.values():
            code = f"TR-{number}{tray.code[-3:]}"
            trays[code] = replace(tray, code=code, name=f"{tray.name} {set_}")
    for kind, name in enumerate(PLAIN):
        for number in range(1, PLAIN_SETS + 1):
            code = f"TR-5{kind}{number:02}"
            lines = tuple(CountLine(name=line, want=2 + (kind + at) % 7) for at, line in enumerate(LINES))
            trays[code] = Tray(code=code, name=f"{name} {number}", lines=lines, indicators=1 + kind % 2)
    second = next(p for p in demo.people.values() if p.role is Role.SUPERVISOR)
    infection = replace(second, id="P-36", name="Ingeborg Castellan", role=Role.INFECTION_PREVENTION, badge="7031299")
    return replace(demo, trays=trays, people={**demo.people, infection.id: infection})


def arrivals(catalogue: Catalogue, watches: Mapping[str, tuple[Watch, ...]], seed: int) -> tuple[Arrival, ...]:
    """Every tray of the department once, spread over the day, in order of time. Half in the day shift, few at night."""
    rng = Random(f"{seed}/arrivals")
    codes = list(catalogue.trays)
    rng.shuffle(codes)
    befalls = dict(zip(_for_lumens(catalogue, codes), _spread(BEFALLS_LUMENS, rng), strict=False))
    befalls |= dict(zip([code for code in codes if code not in befalls], _spread(BEFALLS_ANY, rng), strict=False))
    rows = []
    shares = (0.5, 0.36, 0.14)
    for at, code in enumerate(codes):
        bench = BENCHES[at % 2]
        (shift,) = rng.choices(range(len(shares)), shares)
        watch = watches[bench][shift]
        when = rng.randrange(watch.opens_ms, watch.closes_ms - 3_600_000)
        rows.append(Arrival(at_ms=when, bench=bench, tray=code, load="", befalls=befalls.get(code, "")))
    rows.sort(key=lambda row: row.at_ms)
    rows = [replace(row, load=f"W-{9000 + at // TRAYS_A_LOAD}") for at, row in enumerate(rows)]
    return _one_bad_load(catalogue, rows)


BAD_LOAD = "W-9900"


def _one_bad_load(catalogue: Catalogue, rows: list[Arrival]) -> tuple[Arrival, ...]:
    """One washer load went wrong: three trays of the morning, one after the other, each with a soiled piece."""
    bad = [row.tray for row in rows if catalogue.trays[row.tray].items and not row.befalls][:3]
    return tuple(replace(row, load=BAD_LOAD, befalls="soil_item") if row.tray in bad else row for row in rows)


def _for_lumens(catalogue: Catalogue, codes: list[str]) -> Iterator[str]:
    return (code for code in codes if catalogue.trays[code].items)


def _spread(befalls: Mapping[str, int], rng: Random) -> list[str]:
    out = [name for name, times in befalls.items() for _ in range(times)]
    rng.shuffle(out)
    return out


def washed(catalogue: Catalogue, rows: tuple[Arrival, ...]) -> Catalogue:
    """The department with the day's washer loads: all released, but that of a tray whose load is not signed yet."""
    held = {row.load for row in rows if row.befalls == "load_not_released"}
    loads: dict[str, list[str]] = {}
    for row in rows:
        loads.setdefault(row.load, []).append(row.tray)
    return replace(
        catalogue,
        loads={
            WASHED: Load(id=WASHED, released=True, trays=()),
            **{load: Load(id=load, released=load not in held, trays=tuple(trays)) for load, trays in loads.items()},
        },
    )


def staffed(
    staffing: Mapping[str, Mapping[str, Any]], hours: Mapping[str, tuple[int, int]]
) -> dict[str, tuple[Watch, ...]]:
    """Bench -> its shifts. `staffing`: that of a weekday; `hours`: shift -> (opens, closes), Unix milliseconds."""
    return {
        bench: tuple(
            Watch(
                day=1,
                name=name,
                who=_who(staffing[name], bench),
                lead=staffing[name]["lead"],
                opens_ms=opens,
                closes_ms=closes,
                trays=(),
                loads={},
            )
            for name, (opens, closes) in hours.items()
        )
        for bench in STATIONS
    }


def _who(staff: Mapping[str, Any], bench: str) -> str:
    """The first of the shift's list; where nobody is listed (B2 at night) a tech comes in on this day."""
    if bench == DIRTY:
        return str(staff["decontam"][0])
    return staff[bench][0] if staff[bench] else "P-23"

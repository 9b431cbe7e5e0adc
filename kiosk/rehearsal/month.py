"""The demo department's invented month: who stood at which bench, which trays came, what went wrong with them.

Everything is drawn from resources/demo/story.yaml by seed; `kiosk.rehearsal.story` plays it through the rules.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from random import Random
from typing import Any

from kiosk import resources
from kiosk.core.catalogue import Catalogue, Item, Load, Tray
from kiosk.core.plan import PiecePlan
from kiosk.core.policy import Policy
from kiosk.lumen.planner import plan_tray
from kiosk.pins import Argon2id
from kiosk.places import RESOURCES
from kiosk.store.catalogue_files import load_catalogue

DEMO = RESOURCES / "demo"
PIN = "2468"
"""Everybody's PIN while the month is told; the log holds none."""

TOLD_PINS = Argon2id(memory=8, passes=1, lanes=1)
"""The least that there is: it guards nobody, and a thousand sign-ins are not waited for."""

TURNED = timedelta(minutes=8)
"""How long after the change of shift the first sign-in comes (invented)."""

BENCHES = ("B1", "B2")
_LOADS_A_SHIFT = 10  # numbers set aside for the washer loads of a shift


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """One shift at one bench. `day` counts from 1; `opens_ms` and `closes_ms` are Unix milliseconds."""

    day: int
    name: str
    who: str
    lead: str
    opens_ms: int
    closes_ms: int
    trays: tuple[str, ...]
    loads: Mapping[str, Load]


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    """What the month is drawn from."""

    told: Mapping[str, Any]  # story.yaml
    catalogue: Catalogue
    policy: Policy
    bench: str  # B1
    days: int
    until: date
    seed: int
    offset_min: int

    def watches(self) -> Iterator[Watch]:
        """The shifts of this bench, in order. The night that would run into `until` is left out."""
        rota = self.rota()
        for day in range(1, self.days + 1):
            yield from self._watches_of(day, self._date(day), rota)

    def rota(self) -> dict[tuple[int, str, str], str]:
        """(day, shift, bench) -> who stands there: nobody twice a day, nobody on more than five of seven days."""
        everybody = [who for shift in self.told["staffing"]["weekday"].values() for b in BENCHES for who in shift[b]]
        rota: dict[tuple[int, str, str], str] = {}
        for day in range(1, self.days + 1):
            for shift, staff in self._staffing(self._date(day)).items():
                for bench in (bench for bench in BENCHES if staff[bench]):
                    turn = day % len(staff[bench])
                    first = [*staff[bench][turn:], *staff[bench][:turn], *everybody]
                    rota[day, shift, bench] = next(who for who in first if _rested(rota, who, day))
        return rota

    def _date(self, day: int) -> date:
        return self.until - timedelta(days=self.days + 1 - day)

    def _staffing(self, on: date) -> Mapping[str, Any]:
        staffing: Mapping[str, Any] = self.told["staffing"]["weekend" if on.weekday() >= 5 else "weekday"]
        return staffing

    def _watches_of(self, day: int, on: date, rota: Mapping[tuple[int, str, str], str]) -> Iterator[Watch]:
        rng = Random(f"{self.seed}/{day}")  # the same for every bench: no tray is at two benches at once
        weekend = on.weekday() >= 5
        staffing = self._staffing(on)
        coming = self._coming(rng, self.told["weekend_factor"] if weekend else 1.0, staffing)
        for number, (name, (begins, ends)) in enumerate(self.policy.shifts.items()):
            staff = staffing[name]
            opens, closes = self._at(on, begins), self._at(on, ends)
            closes += 86_400_000 if closes <= opens else 0
            if not staff[self.bench] or closes > self._at(self.until, "00:00"):
                continue
            wash = 1000 + (day * len(self.policy.shifts) + number) * _LOADS_A_SHIFT
            yield Watch(
                day=day,
                name=name,
                who=rota[day, name, self.bench],
                lead=staff["lead"],
                opens_ms=opens + int(TURNED.total_seconds() * 1000),
                closes_ms=closes,
                trays=tuple(tray for tray, shift, bench in coming if (shift, bench) == (name, self.bench)),
                loads=_washed(self.catalogue, wash),
            )

    def _coming(self, rng: Random, factor: float, staffing: Mapping[str, Any]) -> list[tuple[str, str, str]]:
        """The trays of a day in a random order, each with its shift and bench."""
        share = self.told["share_of_trips_by_shift"]
        coming = []
        for tray, rate in self.told["trips_per_weekday"].items():
            for _ in range(int(rate * factor) + (rng.random() < rate * factor % 1)):
                (shift,) = rng.choices(list(share), list(share.values()))
                benches = [place for place in BENCHES for _ in staffing[shift][place]]
                if benches:  # nobody is there on a weekend night: the tray stays in the washer's queue
                    coming.append((tray, shift, Random(f"{self.seed}/{tray}/{shift}/{rng.random()}").choice(benches)))
        rng.shuffle(coming)
        return _one_bench_a_tray(coming)

    def _at(self, on: date, clock: str) -> int:
        local = datetime.combine(on, time.fromisoformat(clock), UTC)
        return int(local.timestamp() * 1000) - self.offset_min * 60_000


def _rested(rota: Mapping[tuple[int, str, str], str], who: str, day: int) -> bool:
    on = {at for (at, _, _), person in rota.items() if person == who and at > day - 7}
    return day not in on and len(on) < 5


def _one_bench_a_tray(coming: list[tuple[str, str, str]]) -> list[tuple[str, str, str]]:
    """In one shift a tray keeps to the bench it came to first."""
    first: dict[tuple[str, str], str] = {}
    return [(tray, shift, first.setdefault((tray, shift), bench)) for tray, shift, bench in coming]


def _washed(catalogue: Catalogue, number: int) -> dict[str, Load]:
    """The washer loads of a shift: put together as the department's own, under numbers of their own, released."""
    return {
        f"W-{number + i}": replace(load, id=f"W-{number + i}", released=True)
        for i, load in enumerate(catalogue.loads.values())
    }


def read_month(bench_number: int, *, days: int, until: date, seed: int, offset_min: int, folder: Path = DEMO) -> Month:
    """The demo department's month at this bench. Raises CatalogueFaults or ResourceFault."""
    bench = f"B{bench_number}"
    return Month(
        told=resources.read_yaml(folder / "story.yaml"),
        catalogue=load_catalogue(folder, bench=bench),
        policy=resources.policy(),
        bench=bench,
        days=days,
        until=until,
        seed=seed,
        offset_min=offset_min,
    )


def in_the_story(catalogue: Catalogue) -> Catalogue:
    """The department while it is told of: one PIN for all, and on the shelf a spare of every item."""
    hashed = TOLD_PINS.hash(PIN, b"the month that was told")
    items = {item.id: item for tray in catalogue.trays.values() for item in tray.items}
    return replace(
        catalogue,
        people={code: replace(person, pin_hash=hashed) for code, person in catalogue.people.items()},
        spares={spare_of(code): _spare(item) for code, item in items.items()},
    )


def spare_of(item: str) -> str:
    """The code of the spare for an item."""
    return f"X{item}"


def _spare(item: Item) -> Item:
    return replace(item, id=spare_of(item.id), name=f"{item.name}, spare", qty=1)


def held_by_plan(tray: Tray, month: Month) -> bool:
    """Does the plan of a piece hold this tray at this bench? Nobody measures or rules on those in the story."""
    return any(plan.hold for plan in plan_tray(tray.items, month.policy, month.catalogue.kit))


def mishaps(
    rng: Random, month: Month, plans: Mapping[str, PiecePlan], types: Mapping[str, str]
) -> dict[str, list[str]]:
    """What will be found on this trip: `piece.key` -> the codes of the NOs to come. `types`: piece -> item type."""
    out: dict[str, list[str]] = {}
    for piece, plan in plans.items():
        for row in month.told["findings"].get(types[piece], ()):
            if rng.random() >= row["p"]:
                continue
            keys = [check.key for check in plan.checks if check.check == row["check"]]
            if keys:
                out[f"{piece}.{_seen_at(rng.choice(keys), row['code'], plan)}"] = _times(rng, month, row["code"])
    return out


def _seen_at(key: str, code: str, plan: PiecePlan) -> str:
    """Soil shows on the swab or outside before a scope meets it: a scope that met soil stays out of use."""
    lumen, _, check = key.rpartition(".")
    if check != "scope" or resources.findings()[code].group not in {"soil", "foreign"}:
        return key
    return f"{lumen}.swab" if f"{lumen}.swab" in plan.keys else "look"


def _times(rng: Random, month: Month, code: str) -> list[str]:
    """Clear water is found once, or as often as the rules let it be dried, and once more."""
    if code != "clear_drops" or rng.random() < month.told["dried_well"]:
        return [code]
    return [code] * (month.policy.max_dry_tries + 1)

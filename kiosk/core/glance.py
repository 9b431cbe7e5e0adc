"""What the viewing functions share: bench, surroundings, words, and the rails and names made from them."""

from dataclasses import dataclass, field
from typing import Any

from kiosk.core.agenda import Step, next_step
from kiosk.core.catalogue import Item, Lumen
from kiosk.core.commands import Page, TakeBack, Turn
from kiosk.core.desk import Desk, Now
from kiosk.core.dispositions import OUT
from kiosk.core.exposure import ExposureNote
from kiosk.core.place import Place
from kiosk.core.settings import Settings
from kiosk.core.stamp import local_time
from kiosk.core.state.bench import Bench
from kiosk.core.state.piece import TRAY, FindingOn, Piece
from kiosk.core.state.trip import Trip
from kiosk.core.together.returns import absent
from kiosk.core.together.same_tray import held_over
from kiosk.core.together.two_records import parts_of
from kiosk.core.tongue import Tongue
from kiosk.core.views import Band, Flag, Hand, Head, Key, Ring
from kiosk.core.vocabulary import Opening
from kiosk.core.words import Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Glance:
    """Everything a view is made from. `turn` is the page laid over the work; `notice` the quiet sentence.

    `words` are those of whoever stands at the glass, `house` those that are kept and printed.
    """

    bench: Bench
    desk: Desk
    words: Words
    now: Now
    turn: Turn | None = None
    note: ExposureNote | None = None  # the exposure note that lies open
    notice: tuple[str, dict[str, Any]] | None = None
    machine: str = ""  # what the machine has to say on the head rail, by its key
    small: bool = False
    sight: str = ""  # what this station's pictures come from, "" from nothing
    settings: Settings = field(default_factory=Settings)
    house: Words | None = None
    tongue: Tongue | None = None
    tongues: tuple[Tongue, ...] = ()
    walked: tuple[str, ...] = ()  # in the practice
    step: Step = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "step", next_step(self.bench, self.desk))

    @property
    def trip(self) -> Trip:
        """The trip on the bench; only asked for where there is one."""
        trip = self.bench.trip
        assert trip is not None
        return trip

    def said(self) -> str:
        """The notice as text."""
        if self.notice is None:
            return ""
        key, names = self.notice
        told = {name: self.told(value) if isinstance(value, str) else value for name, value in names.items()}
        return self.words.some(key, **told)

    def told(self, text: str) -> str:
        """A sentence that was kept as it was first said, in the words of whoever stands at the glass."""
        return self.tongue.said(text) if self.tongue else text

    def kept_word(self, key: str) -> str:
        """A word as it is kept and printed, whoever stands at the glass."""
        return (self.house or self.words).say(key)

    @property
    def bench_name(self) -> str:
        """This station, in the words of whoever stands at the glass."""
        return self.words.say(f"rail.station.{self.desk.side}", n=self.desk.bench_number)

    def name_of(self, person: str) -> str:
        """A person's name, or the id where nobody is known by it."""
        known = self.desk.catalogue.people.get(person)
        return known.name if known else person

    def clock(self, at_ms: int) -> str:
        """Local time of day."""
        return f"{local_time(at_ms, self.now.offset_min):%H:%M}"

    def since(self, at_ms: int) -> str:
        """Local time of day, with the date when it was not today."""
        then, today = local_time(at_ms, self.now.offset_min), local_time(self.now.at_ms, self.now.offset_min)
        return f"{then:%H:%M}" if then.date() == today.date() else f"{then:%Y-%m-%d %H:%M}"

    def key(self, label: str, send: Any, *, icon: str = "", kind: Any = "plain", name: str = "", **names: Any) -> Key:
        """A key with words by key."""
        return Key(label=self.words.say(label, **names), send=send, icon=icon, kind=kind, name=name or label)


def whole_words(g: Glance, name: str) -> str:
    """What is said of the whole tray (`@label`, `@load:W-1`), in words."""
    kind, _, detail = name[1:].partition(":")
    return g.words.say(f"waits.{kind}", detail=detail)


def held_words(g: Glance, pieces: str, whole: tuple[str, ...]) -> str:
    """What a held tray waits for: its pieces and lines, then what is said of the whole tray."""
    return ", ".join([*([pieces] if pieces else []), *dict.fromkeys(whole_words(g, name) for name in whole)])


def record_what(g: Glance, key: str) -> str:
    """A record of the catalogue by its name ("item TR-1 A1"), in words."""
    of = parts_of(key)
    return g.words.say(f"conflict.record_what.{of['kind']}", tray=of["tray"], item=of["item"]).strip()


def lumens_of(trip: Trip) -> list[tuple[Piece, Lumen]]:
    """Every lumen of the pieces still counted in the tray, in order."""
    return [(p, way) for p in trip.pieces.values() if p.item and p.name not in trip.replaced for way in p.item.lumens]


BY_LIST = frozenset({"recalled", "use_limit"})
"""Findings that a list or a limit makes, and no look into the piece."""


def ring_of(trip: Trip, piece: Piece, lumen: str, step: Step) -> Ring:
    """How a lumen stands."""
    standing = [f for f in trip.findings if f.piece == piece.name and not (f.put_right or f.accepted)]
    mine = [f for f in standing if f.key.split(".")[0] == lumen or "." not in f.key]
    if mine:
        if all(f.code in BY_LIST for f in mine):  # out by rule: nothing was seen inside it
            return "clear" if piece.lumen_done(lumen) else "todo"
        unsure = all(f.group == "check" for f in mine)
        return "unsure" if unsure else "found"
    if piece.disposition in OUT and not piece.lumen_done(lumen):
        return "unsure"  # out of the tray, and nobody looked here
    if piece.lumen_done(lumen):
        return "clear"
    here = step.kind == "check" and step.piece == piece.name and step.check is not None
    return "now" if here and step.check is not None and step.check.lumen == lumen else "todo"


def head(g: Glance, *, title: str = "", sub: str = "") -> Head:
    """The head rail of the tray on the bench, or of the bench alone."""
    who = g.name_of(g.bench.who) if g.bench.who else ""
    notice = _head_notice(g)
    trip = g.bench.trip
    if trip is None or (g.step.kind in {"scan", "sign_in", "startup"} and (g.turn is None or trip.ended)):
        named = title or g.bench_name
        return Head(title=named, sub=sub, short=named, least=named, who=who, **notice)
    ways = lumens_of(trip)
    rings = tuple(ring_of(trip, piece, way.name, g.step) for piece, way in ways)
    now = rings.index("now") + 1 if "now" in rings else 0
    here = trip.pieces.get(g.step.piece)
    sub = sub or (piece_name(g, here) if here else tray_size(g, trip))
    if here and g.step.check and g.step.check.lumen:
        sub = f"{sub} · {way_name(g, here, g.step.check.lumen)}"
    return Head(
        title=title or trip.tray.name,
        sub=sub,
        short=f"{trip.tray.name} · {sub}" if here else trip.tray.name,
        least=sub if here else trip.tray.name,
        rings=rings,
        now=str(now) if now else "",
        of=_of(g, now, len(rings)),
        who=who,
        bench=g.bench_name,
        **notice,
    )


def _head_notice(g: Glance) -> dict[str, Any]:
    """Practice, a tray open elsewhere too, the machine, kit that is out, returns that decontam did not find; and, where
    nothing else is to be said, that pictures take nearly all their room."""
    say = g.words.say
    if g.desk.practice:
        return {"notice": say("rail.practice")}
    if g.bench.trip is not None and not g.bench.trip.ended and held_over(g.bench.trip):
        return {"notice": say("rail.same_tray")}
    if said := machine_notice(g):
        return {"notice": said}
    if g.bench.swab_lot and g.bench.swab_lot in g.bench.lots_aside:
        return {"notice": say("kit.lot.rail", lot=g.bench.swab_lot)}
    if g.bench.printer_down:
        return {"notice": say("rail.printer_down")}
    lost = absent(g.bench, g.desk)
    if not lost:
        room = g.desk.pictures
        if room is None or not room.state:
            return {}
        return {"notice": say(f"rail.pictures_{room.state}"), "notice_short": say("rail.pictures")}
    several = say("rail.not_found", n=len(lost))
    return {
        "notice": say("rail.not_here", number=lost[0].number) if len(lost) == 1 else several,
        "notice_short": lost[0].number if len(lost) == 1 else say("rail.not_found_short", n=len(lost)),
        "about": Turn(page=Page.ABSENT) if g.bench.who else None,
    }


def machine_notice(g: Glance) -> str:
    """A clock that is to be checked, or what else the machine has to say; ""."""
    key = g.machine if g.now.trusted else "rail.clock"
    return g.words.say(key) if key else ""


def _of(g: Glance, now: int, all_: int) -> str:
    """Beside the rings how many there are; on the small screen, which has no room for rings, which one it is."""
    if g.small:
        return g.words.say("rail.lumen_now", n=now, of=all_) if now else ""
    return g.words.say("rail.of", n=all_) if all_ else ""


def tray_size(g: Glance, trip: Trip) -> str:
    """ "6 instruments · 9 lumens"."""
    pieces = sum(1 for p in trip.pieces.values() if p.item)
    ways = len(lumens_of(trip))
    say, lines = g.words.say, len(trip.tray.lines)
    if not ways:
        return say("rail.no_lumens_one") if lines == 1 else say("rail.no_lumens", n=lines)
    some = say("rail.piece_one") if pieces == 1 else say("rail.piece_many", n=pieces)
    lumens = say("rail.lumen_one") if ways == 1 else say("rail.lumen_many", n=ways)
    return say("rail.lumens", pieces=some, lumens=lumens)


def piece_name(g: Glance, piece: Piece) -> str:
    """The piece's name, with "(2 of 2)" where the tray has several alike."""
    if piece.name == TRAY:
        return g.words.say("rail.tray_part")
    if piece.item is not None and piece.item.qty > 1 and "#" in piece.name:
        return g.words.say("check.piece_of", name=piece.plan.name, n=piece.name.split("#")[1], of=piece.item.qty)
    return piece.plan.name


def way_name(g: Glance, piece: Piece, lumen: str) -> str:
    """The lumen's name, or "only lumen" where there is but one."""
    alone = piece.item is not None and len(piece.item.lumens) == 1
    return g.words.say("rail.only_lumen") if alone else g.told(lumen)


def way(item: Item | None, name: str) -> Lumen | None:
    """A lumen of the item by name."""
    return next((lumen for lumen in item.lumens if lumen.name == name), None) if item else None


def hand(g: Glance, *, left: tuple[Key, ...] = (), right: tuple[Key, ...] = ()) -> Hand:
    """The hand rail; the aid key is always there."""
    return Hand(left=left, right=right, aid=g.words.say("rail.aid"))


def work_hand(g: Glance, *, change: bool = True, right: tuple[Key, ...] = ()) -> Hand:
    """The hand rail of the work: change the last answer, stop here; wipe and help where there is room."""
    left = []
    trip = g.bench.trip
    if change and trip is not None and trip.last is not None:
        left.append(g.key("rail.change", TakeBack(), icon="arrow_left"))
    if g.small:
        stop = g.key("rail.stop_short", Turn(page=Page.STOP), icon="stop_here")
        return hand(g, left=tuple(left), right=(*right[:1], stop))
    left.append(g.key("rail.stop", Turn(page=Page.STOP), icon="stop_here"))
    return hand(g, left=tuple(left), right=(*right, wipe_key(g)))


def asking_hand(g: Glance, left: tuple[Key, ...]) -> Hand:
    """The hand rail of a page with a question of its own: its way back, stopping, and wiping where there is room."""
    if g.small:
        return hand(g, left=(*left, g.key("rail.stop_short", Turn(page=Page.STOP))))
    stop = g.key("rail.stop", Turn(page=Page.STOP), icon="stop_here")
    return hand(g, left=(*left, stop), right=(wipe_key(g),))


def unseen(trip: Trip) -> int:
    """How many lumens of the tray were finished without being seen from end to end."""
    return sum(f"{piece.name}.{way.name}" in trip.not_seen for piece, way in lumens_of(trip))


def wipe_key(g: Glance) -> Key:
    """The key that puts the screen to sleep to be wiped."""
    return g.key("rail.wipe", Turn(page=Page.WIPE), icon="wipe")


def back_hand(g: Glance, *right: Key, to: Turn | None = None) -> Hand:
    """The hand rail of a page laid over the work. `to`: the page it lies on; None: the work."""
    return hand(g, left=(g.key("rail.back", to or Turn(), icon="arrow_left"),), right=right)


def place_words(g: Glance, place: Place, *, lumens: int = 1) -> str:
    """A place in words: "13 cm from ENTRY", "window teeth, inner tube", "all along the lumen"."""
    say = g.words.say
    if place.landmark:
        text = landmark_words(g, place.landmark)
    elif place.all_along:
        text = say("place.all_along")
    elif place.at_mm is not None:
        whole = place.at_mm % 10 == 0
        text = say("place.at", cm=place.at_mm // 10) if whole else say("place.at_mm", mm=place.at_mm)
    else:
        return g.told(place.lumen)
    named = place.lumen and lumens > 1 and not place.landmark
    return say("place.in_lumen", place=text, lumen=g.told(place.lumen)) if named else text


PLACES = ("joint", "shaft", "handle", "teeth", "side_holes", "closed_end", "everywhere")
"""Landmarks that every department has; they are kept in the words of the house."""


def landmark_words(g: Glance, name: str) -> str:
    """A landmark as kept, in the words of whoever stands at the glass."""
    key = next((key for key in PLACES if g.kept_word(f"places.{key}") == name), "")
    return g.words.say(f"places.{key}") if key else g.told(name)


def finding_place(g: Glance, trip: Trip, finding: FindingOn) -> str:
    """Where a finding was, in words; of what could not be reached, how much of which end."""
    item = trip.pieces[finding.piece].item
    if finding.code == "cannot_reach":
        entry = trip.pieces[finding.piece].lumen(finding.place.lumen)
        lumen = way(item, finding.place.lumen)
        if entry is not None and entry.not_seen_mm and lumen is not None:
            last = g.words.say("place.last_mm", mm=int(entry.not_seen_mm))
            return f"{last}, {g.words.say('place.blind_tip')}" if lumen.open is Opening.ONE else last
    return place_words(g, finding.place, lumens=len(item.lumens) if item else 1)


def band_for(g: Glance, piece: Piece, lumen_name: str, *, flags: tuple[Flag, ...] = (), end: str = "") -> Band:
    """The lumen band of a check: the tube, or the words of what is looked at as a whole."""
    lumen = way(piece.item, lumen_name)
    say = g.words.say
    if lumen is None:
        return Band(words=say("band.tray") if piece.name == TRAY else piece_name(g, piece), flags=flags)
    done = piece.lumen_done(lumen.name)
    return Band(
        lumen=lumen,
        seen="light" if done else "dark",
        flags=flags,
        enter_from="tip" if end == "tip" else "entry",
        entry=say("band.entry"),
        tip=say("band.tip") if lumen.open is Opening.BOTH else say("band.closed"),
        entry_note=say("band.entry_note"),
        tip_note=say("band.tip_note"),
        told=g.tongue.said if g.tongue else str,
    )


def flags_of(g: Glance, trip: Trip, piece: Piece, lumen: str) -> tuple[Flag, ...]:
    """The marks on one lumen (or on the piece as a whole)."""
    mine = [f for f in trip.findings if f.piece == piece.name and not f.put_right and f.place.lumen == lumen]
    return tuple(Flag(number=i, place=f.place, say=place_words(g, f.place)) for i, f in enumerate(mine, 1))

"""Views of the doing screens with the words of the bench and invented names, as they come and at their longest."""

from decimal import Decimal

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.catalogue import Landmark, Lumen
from kiosk.core.place import Place
from kiosk.core.vocabulary import Disposition

WORDS = resources.words()
say, lines = WORDS.say, WORDS.lines
TRAY_48 = "Arthroscopy hand instruments and cannulas, set 7"
ITEM_48 = "Shaver handpiece with long suction channel 4.5 m"
LUMEN_24 = "suction channel, up left"
NOTE_120 = (
    "Gray streak near the window teeth, does not lift off. To the repair shelf. Swab lot 4471, seen twice. " * 2
)[:120]
assert len(TRAY_48) == len(ITEM_48) == 48
assert len(NOTE_120) == 120


def key(
    words: str, send: c.Send | None, *, icon: str = "", main: bool = False, name: str = "", **names: object
) -> v.Key:
    """A key with words by their key, as the viewing makes it."""
    return v.Key(label=say(words, **names), send=send, icon=icon, kind="main" if main else "plain", name=name or words)


AID = say("rail.aid")
RINGS: tuple[v.Ring, ...] = ("clear", "clear", "found", "clear", "now", "todo", "todo", "unsure", "todo")
CHANGE = key("rail.change", c.TakeBack(), icon="arrow_left")
BACK = key("rail.back", c.Turn(), icon="arrow_left")
STOP = key("rail.stop", c.Turn(page=c.Page.STOP), icon="stop_here")
STOP_SHORT = key("rail.stop_short", c.Turn(page=c.Page.STOP), icon="stop_here")
WIPE = key("rail.wipe", c.Turn(page=c.Page.WIPE), icon="wipe")
SUPERVISOR = key("rail.supervisor", c.Turn(page=c.Page.NAMES, subject="ruling:"), icon="lock")


def head(*, long: bool = False, notice: str = "") -> v.Head:
    """The head rail of a tray."""
    title, sub = (
        (TRAY_48, f"{ITEM_48} · {LUMEN_24}") if long else ("General tray 12", "Suction tube 10 Fr · only lumen")
    )
    return v.Head(
        title=title,
        sub=sub,
        short=f"{title} · {sub}",
        rings=RINGS,
        now="5",
        of="of 9",
        who="Rosa M.",
        bench="Bench 3",
        notice=notice,
    )


def work(*, small: bool, change: bool = True) -> v.Hand:
    """The hand rail of the work."""
    left = (CHANGE,) if change else ()
    if small:
        return v.Hand(left=left, right=(STOP_SHORT,), aid=AID)
    return v.Hand(left=(*left, STOP), right=(WIPE,), aid=AID)


BACK_HAND = v.Hand(left=(BACK,), aid=AID)
TUBE = Lumen(
    name="only lumen",
    inside_mm=Decimal("3.0"),
    length_mm=Decimal(250),
    landmarks=(Landmark(name="thumb hole", at_mm=Decimal(40)),),
)
CHANNEL = Lumen(name=LUMEN_24, inside_mm=Decimal("2.8"), length_mm=Decimal(445))


def band(*, long: bool = False, at_mm: int = 130) -> v.Band:
    """A tube with its mark."""
    lumen = CHANNEL if long else TUBE
    flag = v.Flag(number=1, place=Place(lumen=lumen.name, at_mm=at_mm), say=say("place.at", cm=at_mm // 10))
    return v.Band(
        lumen=lumen,
        flags=(flag,),
        entry=say("band.entry"),
        tip=say("band.tip"),
        entry_note=say("band.entry_note"),
        tip_note=say("band.tip_note"),
    )


MOVES = (
    key("decision.left", c.MovePlace(by_mm=-10), icon="arrow_left", name="left"),
    key("decision.right", c.MovePlace(by_mm=10), icon="arrow_right", name="right"),
)
PHOTO = key("decision.photo", c.Turn(page=c.Page.PHOTO), icon="camera")
PHOTO_FIRST = key("decision.photo_first", c.Turn(page=c.Page.PHOTO), icon="camera", main=True)


def decision(
    kind: Disposition = Disposition.ITEM_BACK, *, long: bool = False, at_mm: int = 130, **more: object
) -> v.DecisionView:
    """A finding's decision said back."""
    others = {
        Disposition.ITEM_BACK: (Disposition.TRAY_BACK,),
        Disposition.SECOND_LOOK: (Disposition.BENCH_FIX, Disposition.ITEM_BACK),
    }.get(kind, ())
    said = "Swab, pin or scope will not go through" if long else "Red or red-brown mark"
    because = [say("because.return.item", finding=said)]
    if long:
        because = [
            say("because.return.tray", finding=said),
            say("because.raised.two_soiled_items"),
            say("because.full"),
        ]
    place = say("place.at", cm=at_mm // 10)
    values: dict[str, object] = {
        "head": head(long=long),
        "hand": v.Hand(left=(key("decision.change", c.TakeBack(), icon="arrow_left"),), aid=AID),
        "title": say(f"decision.title.{kind}"),
        "ring": "unsure" if kind is Disposition.SECOND_LOOK else "found",
        "word": say(f"decision.word.{kind}"),
        "said": said,
        "place": say("place.in_lumen", place=place, lumen=LUMEN_24) if long else place,
        "because": tuple(because),
        "band": band(long=long, at_mm=at_mm),
        "moves": MOVES,
        "photo": PHOTO,
        "photo_state": "",
        "main": key(f"decision.main.{kind}", c.Confirm(what=kind), icon="arrow_right", main=True),
        "others": tuple(key(f"decision.other.{o}", c.Confirm(what=o), name=f"instead {o}") for o in others),
    }
    return v.DecisionView(**{**values, **more})  # type: ignore[arg-type]


def photo(*, long: bool = False) -> v.PhotoView:
    """The picture page."""
    return v.PhotoView(
        head=head(long=long),
        hand=BACK_HAND,
        title=say("photo.title"),
        help=say("photo.help"),
        facts=(ITEM_48 if long else "Suction tube 10 Fr",),
        source_words=say("photo.source"),
        none_yet=say("photo.none_yet"),
        use=say("photo.use"),
        refresh=say("photo.refresh"),
        reasons=tuple(
            key(f"photo.reasons.{reason}", c.NoPhoto(reason=reason), name=f"no photo {reason}")
            for reason in ("no_scope", "too_dark", "no_time")
        ),
    )


def full_cleaning(step: int, *, small: bool, since_ms: int = 0, minutes: int = 4, others: bool = False) -> v.StepsView:
    """The full bench cleaning, step by step."""
    last = step == 4
    return v.StepsView(
        head=head(),
        hand=work(small=small, change=False),
        title=say("bench_clean.full_title"),
        help=say("bench_clean.other_trays", trays="Eye tray 3"),
        steps=lines("bench_clean.full_steps"),
        now=step,
        cautions=(say("bench_clean.caution"),),
        main=key(
            "bench_clean.full_done" if last else "bench_clean.step_done",
            c.StepDone(step="bench", number=step),
            icon="arrow_right",
            main=True,
        ),
        others=(SUPERVISOR,) if others else (),
        timer_ms=minutes * 60_000 if last else 0,
        since_ms=since_ms,
        timer_words=say("bench_clean.timer", left="{left}"),
    )


def drying(
    *, small: bool, worn: tuple[str, ...] = ("gloves", "eye", "mask", "gown"), long: bool = False
) -> v.StepsView:
    """Dry it, then look again."""
    names = ", ".join(say(f"worn.{thing}") for thing in worn)
    return v.StepsView(
        head=head(long=long),
        hand=work(small=small),
        title=say("put_right.dry_title"),
        help=say("put_right.try", n=1, of=2),
        steps=lines("put_right.dry_steps", where=say("where_air.station"), kpa=140),
        now=0,
        worn=worn,
        worn_words=say("worn.words", worn=names),
        main=key("put_right.dry_done", c.StepDone(step="put_right"), icon="arrow_right", main=True),
    )


def wiping(*, small: bool) -> v.StepsView:
    """The bench is wiped; a piece waits for the supervisor meanwhile."""
    return v.StepsView(
        head=head(),
        hand=work(small=small),
        title=say("bench_clean.wipe_title"),
        steps=lines("bench_clean.wipe_steps"),
        now=0,
        main=key("bench_clean.wipe_done", c.StepDone(step="bench"), icon="arrow_right", main=True),
        others=(SUPERVISOR,),
    )


def scope(*, small: bool) -> v.StepsView:
    """The scope is cleaned."""
    name = "Borescope 1.9 mm x 1100 mm"
    return v.StepsView(
        head=head(),
        hand=work(small=small),
        title=say("scope_clean.title", scope=name),
        steps=lines("scope_clean.steps"),
        now=0,
        cautions=lines("scope_clean.cautions"),
        main=key("scope_clean.done", c.StepDone(step="scope"), icon="arrow_right", main=True, scope=name),
    )


def pack(*, small: bool, long: bool = False, ready: bool = True, weighed: bool = True) -> v.PackView:
    """Weight, indicators, packaging."""
    kinds = ("wrap", "container", "pouch") if long else ("wrap", "container")
    first = 3 if long else 1
    not_seen = say("paper.sheet.not_seen", n=3, all=9)
    weight = "11.94 kg" if long else "5.2 kg"
    return v.PackView(
        head=head(long=long),
        hand=work(small=small),
        title=say("pack.title", name=TRAY_48 if long else "General tray 12"),
        help=say("pack.help"),
        weight_title=say("pack.weight") if weighed else "",
        weight=weight if ready or long else say("pack.weight_none"),
        weigh=key("pack.weigh", c.Turn(page=c.Page.TYPE_NUMBER, subject="weight"), icon="keys") if weighed else None,
        weight_warning=say("pack.too_heavy", weight=weight, limit="25 lb") if long else "",
        indicator_title=say("pack.indicators"),
        indicators=tuple(
            v.Key(label=str(n), send=c.PlaceIndicators(count=n), name=f"indicators {n}")
            for n in range(first, first + 4)
        ),
        placed=first if ready else None,
        packaging_title=say("pack.packaging"),
        packaging=tuple(key(f"pack.kind.{kind}", c.ChoosePackaging(kind=kind), name=kind) for kind in kinds),
        chosen="container" if ready else "",
        saying=say("pack.saying_not_seen", not_seen=f"{not_seen.capitalize()}.") if long else say("pack.saying"),
        main=key("pack.main", c.PackAndPrint(), icon="printer", main=True) if ready else None,
        wait="" if ready else say("pack.wait_indicators"),
    )


COPY = (
    "Only this piece goes back",
    f"{ITEM_48} (2 of 2)",
    "Red or red-brown mark",
    "13 cm from ENTRY",
    "Clean it again from step 1 of its IFU.",
)


def printing(*, small: bool, failed: bool = False, two: bool = False) -> v.PrintView:
    """Papers on their way, or not printed."""
    sheet = v.PaperState(name=say("print.doc.tray_sheet"), number="T-30042", state=say("print.state.asked"), ring="now")
    label = v.PaperState(
        name=say("print.doc.package_label"),
        number="P-30042",
        state=say("print.state.where", where="Label printer by the window"),
        ring="clear",
    )
    down = v.PaperState(
        name=say("print.doc.return_ticket"), number="K-30007", state=say("print.state.why"), ring="found", lines=COPY
    )
    other = v.PaperState(
        name=say("print.doc.quarantine_tag"),
        number="Q-30008",
        state=say("print.state.why"),
        ring="found",
        lines=(f"{TRAY_48} · TR-0412",),
    )
    papers = (down, *((other,) if two else (label,))) if failed else (sheet, label)
    return v.PrintView(
        head=head(notice=say("rail.printer_down") if failed else ""),
        hand=work(small=small, change=False),
        title=say("print.failed_title") if failed else say("print.title"),
        help="" if failed else say("print.help"),
        papers=papers,
        main=key("print.again", c.PrintAgain(), icon="printer", main=True) if failed else None,
        others=(key("print.by_hand", c.WriteByHand(), name="by hand"),) if failed else (),
    )


def done(*, long: bool = False) -> v.DoneView:
    """The end of a trip."""
    rings: tuple[v.Ring, ...] = ("clear", "clear", "found", "clear", "clear", "unsure", "clear", "clear", "clear")
    where = say("print.state.where", where="Label printer by the window")
    some = [say("done.lines_lumens", done=8, all=9), say("done.lines_not_seen", n=1, all=9)]
    papers = ("tray_sheet", "package_label", "return_ticket") if long else ("tray_sheet",)
    return v.DoneView(
        head=head(long=long),
        hand=v.Hand(aid=AID),
        title=say("done.packed", name=TRAY_48 if long else "General tray 12"),
        rings=rings * 4 if long else rings,
        saying=say("done.saying", number="P-30042"),
        lines=(*some, *(f"{say(f'print.doc.{doc}')} T-30042: {where}" for doc in papers)),
        main=key("done.next", c.Turn(), icon="arrow_right", main=True),
    )


def stop(*, small: bool, long: bool = False) -> v.StopView:
    """A piece that no permitted check reaches."""
    lumen, piece = (LUMEN_24, ITEM_48) if long else ("main", "Trocar 5 mm")
    why = f"swab: the tube is 0.6 mm inside, the thinnest swab of this bench is 1.2 mm, so {lumen} is not wiped"
    return v.StopView(
        head=head(long=long),
        hand=work(small=small),
        title=say("decision.title.hold"),
        sentence=say("plan_hold.cannot_reach", lumen=lumen, piece=piece),
        lines=(why, "scope: no scope of this bench is thin enough", "air: the record gives no air pressure")[
            : 3 if long else 2
        ],
        main=key("decision.main.hold", c.Confirm(what=Disposition.HOLD), main=True),
        others=(key("plan_hold.send", c.Confirm(what=Disposition.ITEM_BACK), name="send dirty side"),),
    )


def spare() -> v.StopView:
    """Scan the spare: nothing to touch but the way back."""
    return v.StopView(
        head=head(),
        hand=BACK_HAND,
        title=say("ruling.spare_title"),
        sentence=say("ruling.spare_help"),
        lines=(),
        main=None,
    )


def menu(*, small: bool) -> v.MenuView:
    """Stop here, at its longest."""
    keys = [
        key(f"stop.{reason}", c.StopHere(reason=reason), name=f"stop {reason}")
        for reason in ("break", "called_away", "end_of_shift")
    ]
    keys.append(key("rail.why", c.Turn(page=c.Page.WHY), icon="question"))
    if small:
        keys.append(key("rail.soil", c.Turn(page=c.Page.SOIL), icon="camera"))
        keys.append(WIPE)
    keys.append(key("rail.overview", c.Turn(page=c.Page.OVERVIEW), icon="tray"))
    return v.MenuView(
        head=head(),
        hand=BACK_HAND,
        title=say("stop.title"),
        help=say("stop.help"),
        lines=lines("stop.lines", minutes=30),
        keys=tuple(keys),
    )


def ruling() -> v.MenuView:
    """The supervisor's ruling."""
    return v.MenuView(
        head=head(),
        hand=BACK_HAND,
        title=say("ruling.title", name="Maximiliana Featherstone-Okonkwo"),
        help=say("ruling.help", piece=f"{ITEM_48} (2 of 2)"),
        lines=lines("ruling.lines"),
        keys=(
            key("ruling.quarantine", c.Turn(page=c.Page.RULING_NOTE, subject="P-9"), icon="lock"),
            key("ruling.substitute", c.Turn(page=c.Page.SPARE, subject="P-9"), icon="arrow_right"),
        ),
    )


def soil(*, small: bool, page: int = 0, long: bool = False) -> v.HelpView:
    """What soil looks like."""
    found, kinds = resources.findings(), resources.item_types()
    codes = ("tissue", "single_use_found", "bone_grit", "red_mark", "bristle", "discolored")
    entries = [(code, found[code].say, found[code].looks) for code in codes]
    if long:
        kind = max(kinds.values(), key=_letters)
        entries = [("question", kind.name, kind.look), ("question", kind.name, kind.trap), *entries]
    size = 3 if small else 4
    pages = -(-len(entries) // size)
    return v.HelpView(
        head=head(),
        hand=BACK_HAND,
        title=say("soil.title"),
        help=say("soil.help"),
        entries=tuple(entries[page * size : (page + 1) * size]),
        page=page,
        pages=pages,
        page_words=say("page.words", n=page + 1, of=pages),
        previous=key("page.previous", c.Turn(page=c.Page.SOIL, number=max(0, page - 1)), icon="arrow_left"),
        next=key("page.next", c.Turn(page=c.Page.SOIL, number=min(pages - 1, page + 1)), icon="arrow_right"),
    )


def _letters(kind: object) -> int:
    return len(f"{getattr(kind, 'name', '')}{getattr(kind, 'trap', '')}")


def note() -> v.NoteView:
    """The supervisor's note."""
    done_key = c.RuleQuarantine(by="P-9", piece="tube-a#1", note="")
    return v.NoteView(
        head=head(),
        hand=BACK_HAND,
        title=say("ruling.note_title"),
        help=say("ruling.note_help", n=120),
        by="P-9",
        piece="tube-a#1",
        most=120,
        done=key("ruling.note_done", done_key, icon="arrow_right", main=True),
        erase=say("number.erase"),
        space=" ",
    )


def first_aid(*, since_ms: int = 0, unset: bool = False) -> v.FirstAidView:
    """First aid, signed out."""
    return v.FirstAidView(
        head=v.Head(title="Bench 3", bench="Bench 3"),
        hand=v.Hand(aid=AID),
        title=say("first_aid.title"),
        steps=lines("first_aid.steps"),
        since_ms=since_ms,
        minutes_words=say("first_aid.minutes"),
        unset=say("first_aid.unset") if unset else "",
        main=key("first_aid.done", c.FirstAidDone(), main=True),
    )


def wipe(*, seconds: int = 240) -> v.WipeView:
    """The screen is deaf."""
    return v.WipeView(
        head=head(),
        hand=v.Hand(aid=AID),
        title=say("wipe.title"),
        help=say("wipe.help"),
        seconds=seconds,
        keep_wet=say("wipe.keep_wet"),
        striped=say("wipe.striped"),
        kept=say("wipe.kept"),
        half_time=say("wipe.half_time"),
    )


def every(*, small: bool) -> dict[str, v.View]:
    """Every doing view, by a name for its picture."""
    return {
        "decision": decision(),
        "decision_long": decision(Disposition.TRAY_BACK, long=True, at_mm=440, photo_state=say("decision.photo_kept")),
        "decision_item_long": decision(long=True),
        "decision_unsure": decision(Disposition.SECOND_LOOK),
        "decision_photo_first": decision(photo=None, main=PHOTO_FIRST, photo_state=say("decision.photo_needed")),
        "decision_no_photo": decision(photo_state=say("decision.photo_none", reason=say("photo.reason_words.no_time"))),
        "decision_whole": decision(
            Disposition.REPAIR, moves=(), band=v.Band(words=ITEM_48), place="box lock of the jaw, left"
        ),
        "photo": photo(),
        "photo_long": photo(long=True),
        "full_first": full_cleaning(0, small=small),
        "full_middle": full_cleaning(2, small=small, others=True),
        "full_wet": full_cleaning(4, small=small, since_ms=1_000_000),
        "drying": drying(small=small),
        "drying_long": drying(small=small, worn=("gloves", "face_shield", "mask", "gown"), long=True),
        "wiping": wiping(small=small),
        "scope": scope(small=small),
        "pack": pack(small=small),
        "pack_empty": pack(small=small, ready=False),
        "pack_plain": pack(small=small, weighed=False),
        "pack_long": pack(small=small, long=True),
        "print": printing(small=small),
        "print_failed": printing(small=small, failed=True),
        "print_failed_two": printing(small=small, failed=True, two=True),
        "done": done(),
        "done_long": done(long=True),
        "stop": stop(small=small),
        "stop_long": stop(small=small, long=True),
        "spare": spare(),
        "menu": menu(small=small),
        "ruling": ruling(),
        "soil": soil(small=small),
        "soil_long": soil(small=small, page=0, long=True),
        "soil_last": soil(small=small, page=1),
        "note": note(),
        "first_aid": first_aid(since_ms=1_000_000),
        "first_aid_unset": first_aid(since_ms=1_000_000, unset=True),
        "wipe": wipe(),
    }

"""Views of packing, papers, ends and pages laid over the work, with the words of the bench and invented names."""

from dataclasses import replace

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.vocabulary import Disposition
from tests.ui.screens.rails import AID, BACK_HAND, ITEM_48, LUMEN_24, TRAY_48, WIPE, head, key, lines, say, work


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
        weight_warning=say("weight.over", limit="25 lb") if long else "",
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


def printing(*, small: bool, failed: bool = False, two: bool = False, labels: int = 0) -> v.PrintView:
    """Papers on their way, or not printed; so many `labels` of one tray with the longest numbers."""
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
    papers: tuple[v.PaperState, ...] = (down, *((other,) if two else (label,))) if failed else (sheet, label)
    if labels:
        papers = tuple(
            replace(other, name=say("print.doc.package_label"), number=f"P12-311269-{n + 10}") for n in range(labels)
        )
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
        lines=tuple(say("ruling.spare_named", code=f"X{n}", name=ITEM_48) for n in range(3)),
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
        space=say("number.space"),
    )


def first_aid(*, since_ms: int = 0, unset: bool = False, own: bool = False) -> v.FirstAidView:
    """First aid, signed out: the general page, or the facility's own (invented)."""
    then = (("Night nurse in charge", "5-0142"), ("Emergency desk", "5-0155"), ("Safety officer", "5-0170"))
    return v.FirstAidView(
        head=v.Head(title="Bench 3", bench="Bench 3"),
        hand=v.Hand(aid=AID),
        title=say("first_aid.title"),
        steps=lines("first_aid.steps"),
        since_ms=since_ms,
        minutes_words=say("first_aid.minutes"),
        unset=say("first_aid.unset") if unset else "",
        call=say("aid.call", name="Occupational health") if own else "",
        phone="5-0199" if own else "",
        then=tuple(say("aid.then", name=name, phone=phone) for name, phone in then) if own else (),
        main=key("first_aid.done", c.FirstAidDone(), main=True),
        mistake=key("first_aid.mistake", c.FirstAidDone(mistake=True)),
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

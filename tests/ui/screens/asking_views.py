"""Views that ask, in the words of the product, with invented names: as a day brings them, and at their longest."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from kiosk.core import views
from kiosk.core.catalogue import Landmark, Lumen
from kiosk.core.commands import (
    Answer,
    Confirm,
    CountDiffers,
    OpenPiece,
    Page,
    Readable,
    Scanned,
    SignOut,
    TakeBack,
    Turn,
)
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.place import Place
from kiosk.resources import choices, findings, words
from tests.ui.screens.invented import (
    LONG_ITEM,
    LONG_LINE,
    LONG_LUMEN,
    LONG_PERSON,
    LONG_TRAY,
    SHAVER,
    SUCTION,
    back_hand,
    band,
    head,
    key,
    say,
    tube,
    work_hand,
)


def check(small: bool, long: bool = False, *, wait: bool = False) -> views.AskView:
    answer = Answer(piece="A5#1", key="lumen.scope", yes=True)
    kind = "air" if long else "scope"
    help_line = say("check.scope.help")
    facts = (say("check.bore", mm="3.0"), say("check.length", mm=250))
    if long:
        help_line = say("check.air.help", where=say("where_air.station"), kpa=100)
        facts = (say("check.use_swab", use="2.4 mm, one end"), say("check.bore", mm="3.0"))
    return views.AskView(
        head=head(long),
        hand=work_hand(small),
        title=say(f"check.{kind}.title"),
        help=help_line,
        facts=facts,
        band=band(replace(SUCTION, name=LONG_LUMEN) if long else SUCTION),
        no=views.Plate(
            word=say("check.no"), claim=say("check.no_claim"), note=say("check.no_note"),
            send=replace(answer, yes=False),
        ),
        unsure=views.Plate(
            word=say("check.unsure"), claim="", note=say("check.unsure_note"),
            send=replace(answer, yes=False, unsure=True),
        ),
        yes=views.Plate(
            word=say("check.yes"), claim=say(f"check.{kind}.claim"), note=say("check.yes_note"), send=answer
        ),
        yes_opens_ms=10_000 if wait else 0,
        to_go=say("check.to_go"),
        length_cm=25,
        sends_pace=True,
    )  # fmt: skip


def check_whole(small: bool, long: bool = False) -> views.AskView:
    """A check of the piece as a whole: no tube, no facts; the longest question and the longest help there are."""
    look = "Every hole of the sleeve from inside, rounded blind tip of the sleeve, threads at the hub"
    return replace(
        check(small, long),
        title=say("check.insulation.title") if long else say("check.look.title"),
        help=say("check.look_at", look=look) if long else say("check.look.help"),
        facts=(),
        band=views.Band(words=LONG_ITEM if long else "Needle holder"),
    )


def resume(small: bool, long: bool = False) -> views.AskView:
    return views.AskView(
        head=head(long, rings=False),
        hand=back_hand(),
        title=say("resume.title"),
        help=say("resume.help_other", name=LONG_PERSON if long else "Rosa M."),
        steps=words().lines("resume.steps", piece=LONG_ITEM if long else "Suction tube 10 Fr"),
        no=views.Plate(
            word=say("check.no"), claim=say("resume.no_claim"), note=say("resume.no_note"),
            send=Confirm(what="opened", subject="t1"),
        ),
        yes=views.Plate(
            word=say("check.yes"), claim=say("resume.yes_claim"), note=say("resume.yes_note"),
            send=Confirm(what="covered", subject="t1"),
        ),
    )  # fmt: skip


def readable(small: bool, long: bool = False) -> views.AskView:
    names = [f"{say('print.doc.tray_sheet')} S-0417-3F", f"{say('print.doc.package_label')} L-0417-8K"]
    return views.AskView(
        head=head(long, rings=False),
        hand=views.Hand(aid=say("rail.aid")),
        title=say("readable.title_many"),
        help=say("readable.help", papers=", ".join(names), where="label-printer-bench-3" if long else "bench-3"),
        steps=words().lines("readable.pack_steps"),
        no=views.Plate(
            word=say("check.no"), claim=say("readable.no_claim"), note=say("readable.no_note"), send=Readable(yes=False)
        ),
        yes=views.Plate(
            word=say("check.yes"), claim=say("readable.yes_claim"), note=say("readable.yes_note"),
            send=Readable(yes=True),
        ),
    )  # fmt: skip


def startup(small: bool, long: bool = False) -> views.AskView:
    return replace(
        resume(small, long),
        title=say("startup.scope.title"),
        help=say("startup.help", n=4, of=6, then=say("startup.scope.no")),
        steps=(),
        no=views.Plate(word=say("startup.no"), claim=say("startup.no_claim"), note=""),
        yes=views.Plate(word=say("startup.yes"), claim=say("startup.yes_claim"), note=say("startup.yes_note")),
    )


def sign_in(small: bool, long: bool = False) -> views.SignInView:
    names = [LONG_PERSON] * 4 if long else ["Rosa M.", "Ana P.", "Li W.", "Sam K."]
    people = [views.Key(label=n, send=Turn(page=Page.PIN, subject=f"p{i}"), name=f"p{i}") for i, n in enumerate(names)]
    people.append(key("sign_in.more", Turn(page=Page.NAMES, number=1), kind="quiet"))
    return views.SignInView(
        head=views.Head(title="Bench 3", short="Bench 3", bench="Bench 3"),
        hand=views.Hand(right=(key("rail.wipe", Turn(page=Page.WIPE), icon="wipe"),), aid=say("rail.aid")),
        title=say("sign_in.title"),
        help=say("sign_in.help"),
        line=say("sign_in.line"),
        people=tuple(people),
        notice=say("notice.scan.unknown", text="0419-22-7781") if long else "",
        warning=say("sign_in.first_aid_unset") if long else "",
    )


def pin(small: bool, long: bool = False) -> views.PinView:
    return views.PinView(
        head=views.Head(title="Bench 3", short="Bench 3", bench="Bench 3"),
        hand=back_hand(),
        title=say("pin.ruling_title", name=LONG_PERSON) if long else say("pin.title", name="Rosa M."),
        help=say("pin.help"),
        notice=say("notice.pin_wrong", left=4) if long else "",
        person="p1",
        ruling=long,
        least=4,
        most=8,
        erase=say("pin.erase"),
        done=say("pin.done"),
    )


def number(purpose: str) -> Callable[[bool, bool], views.NumberView]:
    def made(small: bool, long: bool = False) -> views.NumberView:
        return views.NumberView(
            head=head(long),
            hand=back_hand(),
            title=say(f"number.{purpose}.title"),
            help=say(f"number.{purpose}.help"),
            notice=say("notice.scan.unknown", text="0419-22-7781") if long else "",
            purpose=purpose,  # type: ignore[arg-type]
            prefixes=(say("number.prefix_tray"), say("number.prefix_load")) if purpose == "tray" else (),
            units=("kg", "lb") if purpose == "weight" else (),
            decimals=purpose == "weight",
            done=say(f"number.{purpose}.done"),
            erase=say("number.erase"),
        )

    return made


def scan(small: bool, long: bool = False) -> views.ScanView:
    hold = say("scan.state.hold", piece=LONG_ITEM if long else "Grasper")
    states = [say("scan.state.open", done=4, all=9), say("scan.state.count"), hold]
    names = [LONG_TRAY] * 3 if long else ["General tray 12", "Eye tray 3", "Scope tray 7"]
    kept = []
    for n, (name, state) in enumerate(zip(names, states, strict=True)):
        sub = say("scan.row_sub", code=f"TR-041{n}", who=LONG_PERSON if long else "Rosa M.", time="14:07")
        meaning = Meaning(kind=Kind.TRAY, text=f"TR-041{n}")
        label = say("scan.row", name=name, state=state) + "\n" + sub
        kept.append(views.Key(label=label, send=Scanned(meaning=meaning), icon="arrow_right", name=f"kept {n}"))
    return views.ScanView(
        head=views.Head(title="Bench 3", short="Bench 3", who="Rosa M.", bench="Bench 3"),
        hand=views.Hand(
            left=(key("rail.type", Turn(page=Page.TYPE_NUMBER), icon="keys"),),
            right=(
                key("rail.wipe", Turn(page=Page.WIPE), icon="wipe"),
                key("rail.sign_out", SignOut(), icon="arrow_right"),
            ),
            aid=say("rail.aid"),
        ),
        title=say("scan.title"),
        help=say("scan.help"),
        notice=say("notice.scan.unknown", text="0419-22-7781") if long else "",
        kept_title=say("scan.kept"),
        kept=tuple(kept),
        nothing=say("scan.nothing"),
    )


def scan_empty(small: bool, long: bool = False) -> views.ScanView:
    return replace(scan(small, long), kept=())


def count(small: bool, long: bool = False) -> views.CountView:
    names = ["Towel clamp", "Needle holder", "Scissors, curved", "Retractor, small", "Forceps, toothed"]
    names = [LONG_LINE] * 5 if long else names
    have: list[int | None] = [6, None, 1, None, 5] if not long else [12, 10, 11, 12, 12]
    rows = []
    for n, (name, there) in enumerate(zip(names, have, strict=True)):
        want = 12 if long else (6, 2, 2, 4, 4)[n]
        state = "" if there is None else say("count.as_listed")
        if there is not None and there != want:
            state = say("count.short", n=want - there) if there < want else say("count.over", n=there - want)
        rows.append(views.CountRow(line=f"L{n}", name=name, want=want, have=there, state=state, pad=Turn(subject=name)))
    again = say("count.again", reason=say("count.reason_power", time="13:58"))
    return views.CountView(
        head=head(long),
        hand=replace(work_hand(small), left=work_hand(small).left[1:], right=work_hand(small).right[-1:]),
        title=say("count.title"),
        help=again if long else say("count.help"),
        rows=tuple(rows[: 3 if small else 5]),
        page=1,
        pages=3,
        page_words=say("page.words", n=2, of=3),
        all=say("count.all"),
        wanted=say("count.wanted"),
        there=say("count.there"),
        previous=key("page.previous", Turn(subject="count", number=0), icon="arrow_left"),
        next=key("page.next", Turn(subject="count", number=2), icon="arrow_right"),
        differs=key("count.differs", CountDiffers(), kind="main") if long else None,
    )


def overview(small: bool, long: bool = False) -> views.OverviewView:
    state = {ring: say(f"overview.state.{ring}") for ring in ("clear", "found", "unsure", "now", "todo")}
    mark = views.Flag(number=1, place=Place(lumen="shaft", at_mm=80), say=say("place.at", cm=8))
    found = f"{findings()['colored_water' if long else 'red_mark'].say}, {say('place.at', cm=8)}"

    def lumen(name: str, length: int, ring: views.Ring, detail: str = "") -> views.OverviewLumen:
        flags = (mark,) if detail else ()
        shown = LONG_LUMEN if long and name else name
        return views.OverviewLumen(
            lumen=tube(name or "lumen", length=length),
            name=shown,
            ring=ring,
            state=state[ring],
            detail=detail,
            flags=flags,
        )

    pieces: list[tuple[str, tuple[views.OverviewLumen, ...], views.Ring]] = [
        ("Trocar 5 mm", (lumen("main", 100, "clear"), lumen("side port", 35, "clear")), "clear"),
        ("Grasper", (lumen("shaft", 330, "found", found), lumen("flush port", 30, "clear")), "found"),
        ("Suction tube 10 Fr", (lumen("", 250, "now"),), "now"),
        ("Irrigation tube", tuple(lumen(n, 300, "todo") for n in ("suction", "water", "air")), "todo"),
        ("Needle 120", (lumen("", 120, "found", found),), "found"),
        ("Wristed shaft", tuple(lumen(f"way {n}", 300, "clear" if n < 2 else "todo") for n in range(5)), "todo"),
    ]
    rows = tuple(
        views.OverviewRow(
            number=n + 1,
            name=f"{LONG_ITEM[:39]} (2 of 2)" if long else name,
            sub=say("rail.lumen_one") if len(lumens) == 1 else say("rail.lumen_many", n=len(lumens)),
            lumens=lumens,
            state=state[ring],
            ring=ring,
            next=ring == "now",
            send=None if ring == "found" and n == 4 else OpenPiece(piece=f"A{n}"),
        )
        for n, (name, lumens, ring) in enumerate(pieces)
    )
    go = key("overview.go", Turn(), icon="arrow_right", kind="main")
    if not long and not small:
        go = key("overview.go_check", Turn(), icon="arrow_right", kind="main", name="Suction tube 10 Fr")
    first = 2 if small else 0
    return views.OverviewView(
        head=head(long),
        hand=views.Hand(
            left=(key("overview.leave", Turn(page=Page.STOP), icon="arrow_left"),), right=(go,), aid=say("rail.aid")
        ),
        title=f"{say('overview.title', done=4, all=9)} {say('overview.not_clear_one')}",
        warning=say("overview.can_not"),
        rows=rows[first : first + 4] if small else rows,
        page=1 if long else 0,
        pages=3 if long else 1,
        page_words=say("page.words", n=2, of=3),
        longest_mm=330,
        previous=key("page.previous", Turn(page=Page.OVERVIEW, number=1), icon="arrow_left"),
        next=key("page.next", Turn(page=Page.OVERVIEW, number=3), icon="arrow_right"),
    )


def choice(code: str) -> views.Choice:
    return views.Choice(
        code=code, label=findings()[code].say, icon=code, wants_place=code not in {"unsure", "wrong_item"}
    )


LONGEST_CODES = ("discolored", "cement", "wont_pass", "foreign_bit", "unknown_spot", "colored_water")


def finding(small: bool, long: bool = False, *, lumen: Lumen | None = SUCTION) -> views.FindingView:
    first = LONGEST_CODES if long else choices()["scope"]
    marks: tuple[Landmark, ...] = lumen.landmarks if lumen else ()
    if long:
        marks = tuple(
            Landmark(name=name) for name in (LONG_LINE[:40], *(f"window teeth, inner tube {n}" for n in "123"))
        )
    if lumen is None:
        marks += tuple(Landmark(name=say(f"places.{name}")) for name in ("joint", "shaft", "handle", "everywhere"))
    rest = [code for code in findings().kinds if code not in first]
    dry = "finding.title_dry" if long else "finding.title"
    return views.FindingView(
        head=head(long),
        hand=back_hand("finding.back", TakeBack()),
        title=say(dry),
        what=say(dry),
        where=say("finding.where") if lumen else say("finding.where_piece"),
        notice=say("notice.scan.tray", text="TR-0412") if long else "",
        band=band(lumen) if lumen else views.Band(words="Needle holder"),
        lumen=lumen.name if lumen else "",
        landmarks=marks,
        landmark_words=tuple(mark.name for mark in marks),
        choices=tuple(choice(code) for code in first),
        more=tuple(choice(code) for code in rest),
        more_word=say("finding.more"),
        fewer_word=say("finding.fewer"),
        all_along=say("finding.all_along") if lumen else "",
        cm_from=say("finding.cm_from"),
        saying=say("finding.saying"),
        saying_word=say("finding.saying_word"),
        touch_first=say("finding.touch_first"),
        choose_first=say("finding.choose_first"),
        previous_word=say("page.previous"),
        next_word=say("page.next"),
    )


def finding_plain(small: bool, long: bool = False) -> views.FindingView:
    """A piece without a lumen; at its longest, with more names than there are places for."""
    view = finding(small, long, lumen=None)
    more = tuple(Landmark(name=f"{LONG_LINE[:45]} {n}") for n in range(9)) if long else ()
    return replace(view, landmarks=view.landmarks + more)


def finding_shaver(small: bool, long: bool = False) -> views.FindingView:
    return finding(small, long, lumen=SHAVER)


def finding_unmeasured(small: bool, long: bool = False) -> views.FindingView:
    return finding(small, long, lumen=tube(length=None))


@dataclass(frozen=True)
class Case:
    """A screen by module and class, and the view it shows."""

    module: str
    screen: str
    view: Callable[[bool, bool], views.View]


def check_waiting(small: bool, long: bool = False) -> views.AskView:
    return check(small, long, wait=True)


CASES: dict[str, Case] = {
    "check": Case("ask", "AskScreen", check),
    "check_whole": Case("ask", "AskScreen", check_whole),
    "check_waiting": Case("ask", "AskScreen", check_waiting),
    "resume": Case("ask", "AskScreen", resume),
    "readable": Case("ask", "AskScreen", readable),
    "startup": Case("ask", "AskScreen", startup),
    "sign_in": Case("sign_in", "SignInScreen", sign_in),
    "pin": Case("pin", "PinScreen", pin),
    "number_tray": Case("number", "NumberScreen", number("tray")),
    "number_weight": Case("number", "NumberScreen", number("weight")),
    "number_minutes": Case("number", "NumberScreen", number("minutes")),
    "scan": Case("scan", "ScanScreen", scan),
    "scan_empty": Case("scan", "ScanScreen", scan_empty),
    "count": Case("count", "CountScreen", count),
    "overview": Case("overview", "OverviewScreen", overview),
    "finding": Case("finding", "FindingScreen", finding),
    "finding_plain": Case("finding", "FindingScreen", finding_plain),
    "finding_shaver": Case("finding", "FindingScreen", finding_shaver),
    "finding_unmeasured": Case("finding", "FindingScreen", finding_unmeasured),
}

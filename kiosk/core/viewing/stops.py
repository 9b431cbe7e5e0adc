"""The supervisor's stop list, notice by notice, with what was found; and the pieces that come back again and again."""

from kiosk.core.commands import LiftStop, Page, StopList, StopListMark, Turn
from kiosk.core.glance import Glance, back_hand, hand, head
from kiosk.core.repeats import in_a_row, within
from kiosk.core.repeats import often as came_often
from kiosk.core.stop_list import Progress, progress, stops
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Hand, Key, ListRow, ListView, NoteView

LIST = Turn(page=Page.STOP_LIST)


def desk_key(g: Glance) -> Key | None:
    """The desk's key to the stop list."""
    return g.key("stops.key", LIST, icon="stop_here", name="stop list")


def often_key(g: Glance) -> Key | None:
    """The desk's key to what comes back again and again."""
    return g.key("often.key", Turn(page=Page.OFTEN), icon="question", name="often")


def stop_list(g: Glance) -> ListView:
    """Every notice in force, each with how far it is."""
    say = g.words.say
    rows = [_row(g, progress(g.bench, g.desk, stop)) for stop in stops(g.bench, g.desk)]
    return listed(
        g,
        rows,
        page=Page.STOP_LIST,
        title=say("stops.title"),
        help_=say("stops.help"),
        nothing=say("stops.nothing"),
        hand=hand(g, left=(g.key("rail.back", Turn(page=Page.DESK), icon="arrow_left"),)),
        main=g.key("stops.new", Turn(page=Page.STOP_NEW), kind="main"),
    )


def _row(g: Glance, at: Progress) -> ListRow:
    named = [*at.stop.marks, *(_type(g, each) for each in at.stop.types)]
    return ListRow(
        title=at.stop.notice,
        sub=", ".join(named),
        value=so_far(g, at),
        icon="arrow_right",
        send=Turn(page=Page.STOP_NOTICE, subject=at.stop.notice),
        name=f"stop {at.stop.notice}",
    )


def so_far(g: Glance, at: Progress) -> str:
    """ "2 of 3 found"."""
    of = at.of
    return (
        g.words.say("stops.found", n=len(at.found), of=of) if of else g.words.say("stops.found_some", n=len(at.found))
    )


def _type(g: Glance, code: str) -> str:
    return g.desk.types[code].name if code in g.desk.types else code


def stop_notice(g: Glance) -> ListView:
    """One notice: each mark, found where and when, or not seen yet. A scan adds a mark."""
    assert g.turn is not None
    notice, say = g.turn.subject, g.words.say
    stop = next((each for each in stops(g.bench, g.desk) if each.notice == notice), None)
    if stop is None:
        return stop_list(g)
    at = progress(g.bench, g.desk, stop)
    where = {each.what: each for each in at.found}
    names = list(dict.fromkeys((*stop.marks, *where)))
    rows = [ListRow(title=_type(g, each), sub=say("stops.every")) for each in stop.types]
    for name in names:
        seen = where.get(name)
        sub = say("stops.seen", tray=seen.tray, time=g.since(seen.at_ms)) if seen else say("stops.not_seen")
        rows.append(ListRow(title=name, sub=sub))
    return listed(
        g,
        rows,
        page=Page.STOP_NOTICE,
        subject=notice,
        title=f"{notice}: {so_far(g, at)}",
        help_=say("stops.scan"),
        nothing=say("stops.no_marks"),
        hand=_notice_hand(g, notice),
        main=g.key("stops.type_mark", Turn(page=Page.STOP_NEW, subject=notice), kind="main"),
        others=(g.key("stops.by_type", Turn(page=Page.STOP_TYPES, subject=notice), name="by type"),),
    )


def _notice_hand(g: Glance, notice: str) -> Hand:
    back = g.key("rail.back", LIST, icon="arrow_left")
    return hand(g, left=(back,), right=(g.key("stops.lift", LiftStop(notice=notice), name="lift"),))


def stop_types(g: Glance) -> ListView:
    """The item types of this department, to put one under the notice."""
    assert g.turn is not None
    notice = g.turn.subject
    here = sorted({item.type for tray in g.desk.catalogue.trays.values() for item in tray.items})
    rows = [
        ListRow(title=_type(g, code), send=StopList(notice=notice, types=(code,)), icon="arrow_right", name=code)
        for code in here
    ]
    back = Turn(page=Page.STOP_NOTICE, subject=notice)
    return listed(
        g,
        rows,
        page=Page.STOP_TYPES,
        subject=notice,
        title=g.words.say("stops.types_title", notice=notice),
        nothing=g.words.say("stops.no_types"),
        hand=hand(g, left=(g.key("rail.back", back, icon="arrow_left"),)),
    )


def stop_new(g: Glance) -> NoteView:
    """Letters for a new notice, or for a mark that the scanner can not read."""
    assert g.turn is not None
    notice, say = g.turn.subject, g.words.say
    done = StopListMark(notice=notice, mark="") if notice else StopList(notice="")
    return NoteView(
        head=head(g),
        hand=hand(g, left=(g.key("rail.back", LIST, icon="arrow_left"),)),
        title=say("stops.mark_title", notice=notice) if notice else say("stops.new_title"),
        help=say("stops.mark_help") if notice else say("stops.new_help"),
        notice=g.said(),
        field="mark" if notice else "notice",
        by=g.bench.who or "",
        piece="",
        most=30 if notice else 60,
        done=g.key("stops.keep", done, kind="main", icon="arrow_right"),
        erase=say("number.erase"),
        space=" ",
    )


def often(g: Glance) -> ListView:
    """What came back three times in the window, passes between or not."""
    say = g.words.say
    days = g.desk.policy.repeat_window_days
    rows = []
    for row, turnouts in came_often(g.bench, g.desk, g.now.at_ms).items():
        last = next(each for each in reversed(turnouts) if each.failed)
        what = g.desk.findings[last.code].say if last.code in g.desk.findings.kinds else ""
        mark = row.removeprefix("mark ")
        title = say("often.mark", mark=mark) if mark != row else say("often.line", line=row)
        rows.append(
            ListRow(
                title=title,
                sub=say("often.last", what=what, time=g.since(last.at_ms), row=in_a_row(turnouts)),
                value=say("often.times", n=within(turnouts, g.now.at_ms, days)),
            )
        )
    return listed(
        g,
        rows,
        page=Page.OFTEN,
        title=say("often.title", days=days),
        help_=say("often.help"),
        nothing=say("often.nothing"),
        hand=back_hand(g),
    )

"""The supervisor's stop list, notice by notice, with what was found; and the pieces that come back again and again."""

from unicodedata import combining, normalize

from kiosk.core.commands import LiftStop, Page, StopList, StopListLot, StopListMark, StopWithdraw, Turn
from kiosk.core.glance import Glance, back_hand, hand, head
from kiosk.core.state.looked import Stop
from kiosk.core.together.repeats import in_a_row, within
from kiosk.core.together.repeats import often as came_often
from kiosk.core.together.stop_list import Progress, progress, stops, trays_of
from kiosk.core.viewing.letters import letters
from kiosk.core.viewing.rows import listed
from kiosk.core.views import AskView, Hand, Key, ListRow, ListView, MenuView, NoteView, Plate

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
    lots = (g.words.say("stops.lot", lot=each) for each in at.stop.lots)
    named = [*at.stop.marks, *(_type(g, each) for each in at.stop.types), *lots]
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


def _in_order(name: str) -> str:
    """A name as it is looked up: accents and capitals stand with their plain letters."""
    return "".join(each for each in normalize("NFKD", name.casefold()) if not combining(each))


def stop_notice(g: Glance) -> ListView:
    """One notice: each mark, found where and when, or not seen yet. A scan adds a mark."""
    assert g.turn is not None
    notice, say = g.turn.subject, g.words.say
    stop = next((each for each in stops(g.bench, g.desk) if each.notice == notice), None)
    if stop is None:
        return stop_list(g)
    at = progress(g.bench, g.desk, stop)
    return listed(
        g,
        _entries(g, at),
        page=Page.STOP_NOTICE,
        subject=notice,
        title=f"{notice}: {so_far(g, at)}",
        help_=say("stops.scan"),
        nothing=say("stops.no_marks"),
        hand=_notice_hand(g, notice),
        main=g.key("stops.add", Turn(page=Page.STOP_ADD, subject=notice), kind="main", name="add"),
    )


def _entries(g: Glance, at: Progress) -> list[ListRow]:
    """Each mark, type and lot, touched to take it off; under a type every tray that the catalogue has it in."""
    say, stop = g.words.say, at.stop
    where = {each.what: each for each in at.found}
    rows = []
    for mark in stop.marks:
        seen = where.get(mark)
        found = say("stops.seen", tray=seen.tray, time=g.since(seen.at_ms)) if seen else _not_seen(g, mark)
        rows.append(_entry(stop, "mark", mark, mark, found))
    trays = trays_of(g.desk, stop)
    for code in stop.types:
        rows.append(_entry(stop, "type", code, _type(g, code), say("stops.every")))
        for tray in dict.fromkeys(tray.code for tray, item in trays if item.type == code):
            items = [item for each, item in trays if each.code == tray and item.type == code]
            known = {mark for item in items for mark in item.marks}
            n = sum(each.tray == tray and (each.what in known or each.what not in stop.marks) for each in at.found)
            rows.append(
                ListRow(
                    title=f"{g.desk.catalogue.trays[tray].name} · {tray}",
                    sub=", ".join(dict.fromkeys(item.name for item in items)),
                    value=say("stops.found", n=n, of=sum(item.qty for item in items)),
                )
            )
    for lot in stop.lots:
        benches = (g.bench, *g.desk.others.values())
        names = (f"B{g.desk.bench_number}", *g.desk.others)
        open_at = ", ".join(name for name, bench in zip(names, benches, strict=True) if bench.swab_lot == lot)
        told = say("stops.lot_open", where=open_at) if open_at else say("stops.lot_none")
        rows.append(_entry(stop, "lot", lot, say("stops.lot", lot=lot), told))
    counted = {tray.code for tray, _ in trays}
    for what, each in where.items():
        if what not in stop.marks and each.tray not in counted:
            rows.append(ListRow(title=what, sub=say("stops.seen", tray=each.tray, time=g.since(each.at_ms))))
    return rows


def _entry(stop: Stop, kind: str, value: str, title: str, sub: str) -> ListRow:
    take_off = Turn(page=Page.STOP_ENTRY, subject=f"{kind}|{value}|{stop.notice}")
    return ListRow(title=title, sub=sub, icon="arrow_right", send=take_off, name=f"entry {value}")


def _not_seen(g: Glance, mark: str) -> str:
    """Not seen yet, and in which tray the catalogue has the mark."""
    trays = [tray for tray in g.desk.catalogue.trays.values() if any(mark in item.marks for item in tray.items)]
    if not trays:
        return g.words.say("stops.not_seen")
    return g.words.say("stops.not_seen_in", tray=", ".join(f"{tray.name} {tray.code}" for tray in trays))


def stop_entry(g: Glance) -> AskView | ListView:
    """Is this entry wrong? Then it is taken off its notice."""
    assert g.turn is not None
    kind, value, notice = g.turn.subject.split("|", 2)
    say, back = g.words.say, Turn(page=Page.STOP_NOTICE, subject=notice)
    name = _type(g, value) if kind == "type" else say("stops.lot", lot=value) if kind == "lot" else value
    return AskView(
        head=head(g),
        hand=hand(g, left=(g.key("rail.back", back, icon="arrow_left"),)),
        title=say("stops.off_title", entry=name),
        help=notice,
        notice=g.said(),
        steps=g.words.lines("stops.off_steps"),
        no=Plate(word=say("check.no"), claim=say("stops.off_no"), send=back),
        yes=Plate(
            word=say("check.yes"),
            claim=say("stops.off_yes"),
            send=StopWithdraw(notice=notice, kind=kind, value=value),
        ),
    )


def stop_add(g: Glance) -> MenuView:
    """What is put under the notice: a mark, an item type or a lot."""
    assert g.turn is not None
    notice = g.turn.subject
    ways = {"type_mark": Page.STOP_NEW, "by_type": Page.STOP_TYPES, "by_lot": Page.STOP_LOT}
    back = Turn(page=Page.STOP_NOTICE, subject=notice)
    return MenuView(
        head=head(g),
        hand=hand(g, left=(g.key("rail.back", back, icon="arrow_left"),)),
        title=g.words.say("stops.add_title", notice=notice),
        notice=g.said(),
        lines=(),
        keys=tuple(g.key(f"stops.{key}", Turn(page=page, subject=notice), name=key) for key, page in ways.items()),
    )


def _notice_hand(g: Glance, notice: str) -> Hand:
    back = g.key("rail.back", LIST, icon="arrow_left")
    return hand(g, left=(back,), right=(g.key("stops.lift", LiftStop(notice=notice), name="lift"),))


def stop_types(g: Glance) -> ListView:
    """The item types of this department, to put one under the notice."""
    assert g.turn is not None
    notice = g.turn.subject
    types = {item.type for tray in g.desk.catalogue.trays.values() for item in tray.items}
    here = sorted(types, key=lambda code: _in_order(_type(g, code)))
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
    return letters(
        g,
        hand=hand(g, left=(g.key("rail.back", LIST, icon="arrow_left"),)),
        title=say("stops.mark_title", notice=notice) if notice else say("stops.new_title"),
        help_=say("stops.mark_help") if notice else say("stops.new_help"),
        field="mark" if notice else "notice",
        by=g.bench.who or "",
        most=30 if notice else 60,
        done=g.key("stops.keep", done, kind="main", icon="arrow_right"),
    )


def stop_lot(g: Glance) -> NoteView:
    """Letters for a lot under the notice."""
    assert g.turn is not None
    notice, say = g.turn.subject, g.words.say
    back = Turn(page=Page.STOP_ADD, subject=notice)
    return letters(
        g,
        hand=hand(g, left=(g.key("rail.back", back, icon="arrow_left"),)),
        title=say("stops.lot_title", notice=notice),
        help_=say("stops.lot_help"),
        field="lot",
        by=g.bench.who or "",
        most=30,
        done=g.key("stops.keep", StopListLot(notice=notice, lot=""), kind="main", icon="arrow_right"),
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

"""The catalogue at the supervisor's desk: trays, items, lumens, kit, loads; and what nobody has confirmed yet."""

from dataclasses import replace

from kiosk.core.catalogue import Catalogue, Item, Lumen, Tray
from kiosk.core.commands import KeepItem, KeepKit, KeepLoad, KeepTray, Page, Turn
from kiosk.core.glance import Glance, head
from kiosk.core.stamp import local_time
from kiosk.core.state.bench import Bench
from kiosk.core.viewing.letters import letters
from kiosk.core.viewing.roster import back_to, is_supervisor
from kiosk.core.viewing.rows import in_a_line, listed
from kiosk.core.views import Hand, Key, ListRow, ListView, MenuView, NoteView, NumberView, View
from kiosk.core.vocabulary import Check, Feature, Learnt

NAME_LETTERS, SOURCE_LETTERS = 60, 60
TITLE_SMALL = 60  # letters; on the small screen a longer title takes the line under it
FORBIDDABLE = (Check.LIGHT, Check.HOLES, Check.SWAB, Check.SCOPE, Check.AIR, Check.WATER, Check.BRUSH, Check.DRY)


def unconfirmed(catalogue: Catalogue) -> list[tuple[Tray, Item, Lumen]]:
    """Every lumen whose size is only typical, or not known at all."""
    return [
        (tray, item, way)
        for tray in catalogue.trays.values()
        for item in tray.items
        for way in item.lumens
        if way.learnt is Learnt.TYPICAL or way.inside_mm is None or way.length_mm is None
    ]


def desk_key(g: Glance) -> Key | None:
    """The key of the desk."""
    return g.key("records.key", Turn(page=Page.RECORDS), icon="tray", name="records") if is_supervisor(g) else None


def records(g: Glance) -> ListView:
    """The trays, and the keys to everything else."""
    say = g.words.say
    open_ = len(unconfirmed(g.desk.catalogue))
    rows = [
        ListRow(
            title=tray.name,
            sub=say("records.tray_sub", code=tray.code, items=len(tray.items), lines=len(tray.lines)),
            send=Turn(page=Page.TRAY_RECORD, subject=tray.code),
            name=f"tray {tray.code}",
        )
        for tray in g.desk.catalogue.trays.values()
    ]
    others = (
        g.key("records.loads", Turn(page=Page.LOAD_RECORDS), name="loads"),
        g.key("records.kit", Turn(page=Page.KIT_RECORD), name="kit"),
    )
    main = g.key("records.unconfirmed", Turn(page=Page.UNCONFIRMED), kind="main", name="unconfirmed", n=open_)
    return listed(
        g,
        rows,
        page=Page.RECORDS,
        title=say("records.title", version=g.desk.catalogue.version),
        nothing=say("records.nothing"),
        hand=replace(back_to(g, Turn(page=Page.DESK)), right=others),
        main=main if open_ else None,
    )


def tray_record(g: Glance) -> View:
    """One tray: its lines and items; or the page on which one thing of it is changed."""
    code, _, rest = (g.turn.subject if g.turn else "").partition("/")
    what, _, line = rest.partition("/")
    tray = g.desk.catalogue.trays[code]
    say, back = g.words.say, back_to(g, Turn(page=Page.TRAY_RECORD, subject=code))
    if what == "want":
        return NumberView(
            head=head(g), hand=back, title=say("records.want_title", line=line), notice=g.said(), purpose="other",
            send=KeepTray(tray=code, line=line, want=0), field="want", most=3, done=say("number.weight.done"),
            erase=say("number.erase"),
        )  # fmt: skip
    if what in {"name", "line"}:
        return _note(g, back, f"records.{what}_title", KeepTray(tray=code), what, NAME_LETTERS, tray.name)
    rows = [_line_row(g, tray, n) for n in range(len(tray.lines))]
    return listed(
        g,
        rows,
        page=Page.TRAY_RECORD,
        subject=code,
        title=say("records.tray_title", name=tray.name, version=tray.version),
        nothing=say("records.nothing"),
        hand=back_to(g, Turn(page=Page.RECORDS)),
        main=g.key(
            "records.add_line", Turn(page=Page.TRAY_RECORD, subject=f"{code}/line"), kind="main", name="add line"
        ),
        others=(g.key("records.rename", Turn(page=Page.TRAY_RECORD, subject=f"{code}/name"), name="rename"),),
    )


def _line_row(g: Glance, tray: Tray, n: int) -> ListRow:
    """A line of the count sheet; one of a lumened item leads to its record."""
    line = tray.lines[n]
    if line.item:
        to, sub = Turn(page=Page.ITEM_RECORD, subject=f"{tray.code}/{line.item}"), g.words.say("records.lumened")
    else:
        to, sub = Turn(page=Page.TRAY_RECORD, subject=f"{tray.code}/want/{line.name}"), ""
    return ListRow(title=line.name, sub=sub, value=str(line.want), send=to, name=f"line {n}")


def item_record(g: Glance) -> View:
    """One item with its lumens; or the page on which one field is changed."""
    code, _, rest = (g.turn.subject if g.turn else "").partition("/")
    item_id, _, rest = rest.partition("/")
    field, _, lumen = rest.partition("/")
    item = next(one for one in g.desk.catalogue.trays[code].items if one.id == item_id)
    if field:
        return _field(g, code, item, field, lumen)
    rows = [row for way in item.lumens for row in _lumen_rows(g, code, item, way)]
    return listed(
        g,
        rows,
        page=Page.ITEM_RECORD,
        subject=f"{code}/{item_id}",
        title=g.words.say("records.item_title", name=item.name, version=item.version),
        help_=_last_change(g, code, item),
        nothing=g.words.say("records.nothing"),
        hand=back_to(g, Turn(page=Page.TRAY_RECORD, subject=code)),
        main=g.key(
            "records.rename", Turn(page=Page.ITEM_RECORD, subject=f"{code}/{item_id}/name"), kind="main", name="rename"
        ),
    )


def _last_change(g: Glance, code: str, item: Item) -> str:
    """Who changed the record last, when, and where the numbers come from."""
    benches: tuple[Bench, ...] = (g.bench, *g.desk.others.values())
    found = [kept for b in benches for t in (code, "") for kept in b.staff.records.get(f"item {t} {item.id}", ())]
    if not found:
        return g.words.say("records.from_file")
    last = max(found, key=lambda kept: kept.at_ms)
    day = f"{local_time(last.at_ms, g.now.offset_min):%Y-%m-%d}"
    return g.words.say("records.changed", name=g.name_of(last.by), day=day, source=last.source or last.why)


def _lumen_rows(g: Glance, code: str, item: Item, way: Lumen) -> list[ListRow]:
    say = g.words.say

    def row(field: str, value: str) -> ListRow:
        return ListRow(
            title=say(f"records.field.{field}", lumen=way.name),
            value=value or say("records.none"),
            send=Turn(page=Page.ITEM_RECORD, subject=f"{code}/{item.id}/{field}/{way.name}"),
            name=f"{way.name} {field}",
        )

    sure = way.learnt is not Learnt.TYPICAL and way.inside_mm is not None and way.length_mm is not None
    return [
        row("inside_mm", f"{way.inside_mm} mm" if way.inside_mm is not None else ""),
        row("length_mm", f"{way.length_mm} mm" if way.length_mm is not None else ""),
        row("source", say(f"records.learnt.{way.learnt}") if sure else say("records.not_confirmed")),
        row("air_kpa", f"{way.air_kpa} kPa" if way.air_kpa is not None else ""),
        row("feature", ", ".join(say(f"feature.{each}") for each in sorted(way.features))),
        row("forbid", ", ".join(say(f"name.{each}") for each in sorted(way.forbid))),
    ]


def _field(g: Glance, code: str, item: Item, field: str, lumen: str) -> View:
    """The page that changes one field of an item."""
    say = g.words.say
    back = back_to(g, Turn(page=Page.ITEM_RECORD, subject=f"{code}/{item.id}"))
    send = KeepItem(tray=code, item=item.id, field=field, lumen=lumen)
    way = next((each for each in item.lumens if each.name == lumen), None)
    if field in {"inside_mm", "length_mm", "air_kpa"}:
        right: tuple[Key, ...] = ()
        if field == "air_kpa":
            none = KeepItem(tray=code, item=item.id, field="no_air", lumen=lumen)
            right = (g.key("records.no_air", none, name="no air"),)
        title = say(f"records.ask.{field}", lumen=lumen, item=item.name)
        return NumberView(
            head=head(g), hand=replace(back, right=right), title=title,
            help="" if g.small and len(title) > TITLE_SMALL else say("records.number_help"), notice=g.said(),
            purpose="other", send=send, field="value", decimals=True, most=6, done=say("number.weight.done"),
            erase=say("number.erase"),
        )  # fmt: skip
    if field in {"feature", "forbid"} and way is not None:
        options = Feature if field == "feature" else FORBIDDABLE
        there: frozenset[str] = way.features if field == "feature" else way.forbid
        keys = tuple(
            Key(
                label=say(f"feature.{each}" if field == "feature" else f"name.{each}").capitalize(),
                send=KeepItem(tray=code, item=item.id, field=field, value=each, lumen=lumen),
                kind="main" if each in there else "plain",
                name=f"{field} {each}",
            )
            for each in options
        )
        title = say(f"records.ask.{field}", lumen=lumen, item=item.name)
        return MenuView(head=head(g), hand=back, title=title, notice=g.said(), lines=(), keys=keys)
    key = "records.item_name_title" if field == "name" else "records.source_title"
    return _note(g, back, key, send, "value", SOURCE_LETTERS, item.name)


def _note(g: Glance, back: Hand, title: str, send: KeepTray | KeepItem, field: str, most: int, name: str) -> NoteView:
    return letters(
        g,
        hand=back,
        title=g.words.say(title, name=name),
        field=field,
        piece=title,
        most=most,
        done=g.key("person.keep", send, kind="main"),
    )


def unconfirmed_page(g: Glance) -> ListView:
    """Lumens whose size is typical or unknown: each is measured or looked up once, and then known for ever."""
    say = g.words.say
    rows = [
        ListRow(
            title=f"{item.name} · {way.name}",
            sub=f"{tray.name} · {tray.code}",
            value=f"{way.inside_mm} mm" if way.inside_mm is not None else say("records.none"),
            send=Turn(page=Page.ITEM_RECORD, subject=f"{tray.code}/{item.id}"),
            name=f"unconfirmed {item.id} {way.name}",
        )
        for tray, item, way in unconfirmed(g.desk.catalogue)
    ]
    return listed(
        g,
        rows,
        page=Page.UNCONFIRMED,
        title=say("records.unconfirmed_title"),
        nothing=say("records.all_confirmed"),
        hand=back_to(g, Turn(page=Page.RECORDS)),
    )


def kit_record(g: Glance) -> MenuView:
    """What this bench has to check with."""
    say, kit = g.words.say, g.desk.catalogue.kit
    flags = [
        Key(
            label=say(f"records.kit_{field}.{'yes' if there else 'no'}"),
            send=KeepKit(field=field),
            kind="main" if there else "plain",
            name=field,
        )
        for field, there in (("air_station", kit.air_station), ("gauge_pins", kit.gauge_pins))
    ]
    scopes = [
        g.key("records.scope_gone", KeepKit(field="scope", value=scope.id), name=f"gone {scope.id}", scope=scope.id)
        for scope in kit.scopes
    ]
    heads = ", ".join(str(each) for each in kit.swabs.heads_mm) if kit.swabs else say("records.none")
    return MenuView(
        head=head(g),
        hand=back_to(g, Turn(page=Page.RECORDS)),
        title=say("records.kit_title"),
        notice=g.said(),
        lines=(say("records.swabs", heads=heads), say("records.kit_by_file")),
        keys=(*flags, *scopes),
    )


def load_records(g: Glance) -> ListView:
    """Washer loads, the newest first; a touch changes the release."""
    say = g.words.say
    rows = [
        ListRow(
            title=load.id,
            sub=in_a_line(g, load.trays),
            value=say("records.released" if load.released else "records.not_released"),
            send=KeepLoad(load=load.id, released=not load.released),
            name=f"load {load.id}",
        )
        for load in reversed(g.desk.catalogue.loads.values())
    ]
    return listed(
        g,
        rows,
        page=Page.LOAD_RECORDS,
        title=say("records.loads_title"),
        help_=say("records.loads_help"),
        nothing=say("records.no_loads"),
        hand=back_to(g, Turn(page=Page.RECORDS)),
    )

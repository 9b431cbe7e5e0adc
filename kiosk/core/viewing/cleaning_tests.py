"""Cleaning tests at the supervisor's desk: the newest, a new one field by field, one by itself with its levels."""

from collections.abc import Callable
from dataclasses import replace

from kiosk.core.cleaning_tests import METHODS, Grade, KeptTest, Marker, by_scale, is_light
from kiosk.core.commands import AnswerCleaningTest, KeepCleaningTest, Page, PrintReport, Turn
from kiosk.core.composing.cleaning_tests import (
    about_words,
    done_words,
    grade_words,
    kind_words,
    levels_words,
    scale_words,
    value_words,
)
from kiosk.core.decide.cleaning_tests import LETTERS, NO_METER, asks_for, so_far, units_of
from kiosk.core.glance import Glance, back_hand, head
from kiosk.core.state.trip import Trip
from kiosk.core.together.kept_tests import DONE, MISTYPED, done_about, every_test, meters_known, tests_of
from kiosk.core.viewing.letters import letters
from kiosk.core.viewing.menus import Offer
from kiosk.core.viewing.rows import listed
from kiosk.core.views import AskView, Key, ListRow, ListView, MenuView, NoteView, NumberView, Plate, View
from kiosk.core.vocabulary import Role

TESTS = Turn(page=Page.CLEANING_TESTS)


def _desk_key(g: Glance) -> Key | None:
    person = g.desk.catalogue.people.get(g.bench.who or "")
    may = person is not None and person.role in {Role.SUPERVISOR, Role.EDUCATOR}
    return g.key("cleaning.key", TESTS, icon="question", name="cleaning tests") if may else None


def tests(g: Glance) -> ListView:
    """The newest of each kind, unit and meter; a row opens those that may stand beside it."""
    say = g.words.say
    number = g.turn.subject if g.turn else ""
    groups = list(by_scale(every_test(g.bench, g.desk)).values())
    mine = next((group for group in groups if any(test.number == number for test in group)), [])
    new = g.key("cleaning.new", Turn(page=Page.NEW_TEST), kind="main", name="new result")
    if number and mine:
        return listed(
            g,
            [_row(g, test) for test in mine],
            page=Page.CLEANING_TESTS,
            subject=number,
            title=scale_words(g, mine[0]),
            help_=say("cleaning.caution"),
            nothing=say("cleaning.nothing"),
            main=new,
            back=TESTS,
        )
    printing = g.key("cleaning.print", PrintReport(doc="cleaning_tests"), icon="printer", name="print tests")
    return listed(
        g,
        [_group(g, group) for group in groups],
        page=Page.CLEANING_TESTS,
        title=say("cleaning.title"),
        help_=say("cleaning.caution"),
        nothing=say("cleaning.nothing"),
        main=new,
        others=(printing,) if groups else (),
        back=Turn(page=Page.DESK),
    )


def _group(g: Glance, group: list[KeptTest]) -> ListRow:
    newest = group[0]
    many = g.words.say("cleaning.of_these", n=len(group)) if len(group) > 1 else ""
    row = _row(g, newest)
    return replace(
        row,
        title=g.words.say("cleaning.row", what=_kind_and_meter(g, newest), grade=grade_words(g, newest)),
        sub=" · ".join(filter(None, (about_words(g, newest.about), g.since(newest.at_ms), many))),
        send=Turn(page=Page.CLEANING_TESTS, subject=newest.number),
        name=f"tests {newest.number}",
    )


def _kind_and_meter(g: Glance, test: KeptTest) -> str:
    """What was measured, and in light units on which meter; the unit stands beside the value."""
    of = test.result
    meter = g.words.say("cleaning.meter", meter=of.meter) if of.light else ""
    return " · ".join(filter(None, (kind_words(g, test), meter)))


def _row(g: Glance, test: KeptTest) -> ListRow:
    meter = g.words.say("cleaning.meter", meter=test.result.meter) if test.result.meter else ""
    return ListRow(
        title=g.words.say("cleaning.row", what=about_words(g, test.about), grade=grade_words(g, test)),
        sub=" · ".join(filter(None, (g.since(test.at_ms), meter, test.number))),
        value=value_words(test),
        icon="arrow_right",
        send=Turn(page=Page.CLEANING_TEST, subject=test.number),
        name=f"test {test.number}",
    )


def one_test(g: Glance) -> MenuView | ListView:
    """One result with everything that was kept; at its action level, what a lead did about it."""
    say = g.words.say
    number = g.turn.subject if g.turn else ""
    test = next((each for each in every_test(g.bench, g.desk) if each.number == number), None)
    if test is None:
        return tests(g)
    done, of = done_about(g.bench, g.desk, number), test.result
    action = test.grade is Grade.ACTION
    told = (
        f"{about_words(g, test.about)} · {g.since(test.at_ms)}",
        " · ".join(
            filter(None, (say(f"cleaning.method.{of.method}"), of.meter and say("cleaning.meter", meter=of.meter)))
        ),
        say("cleaning.levels_then", levels=levels_words(g, test)),
        say("cleaning.was_done", done=done_words(g, done)) if done else say("cleaning.asks") if action else "",
        say("cleaning.clears_nothing"),
    )
    answers = [*(DONE if action else ()), MISTYPED] if not done and _leads(g) else []
    return MenuView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, to=Turn(page=Page.CLEANING_TESTS, subject=number)),
        title=f"{kind_words(g, test)}: {value_words(test)}, {grade_words(g, test)}",
        help=number,
        notice=g.said(),
        lines=tuple(filter(None, told)),
        keys=(
            *(g.key(f"cleaning.done.{each}", _answer(number, each), name=f"done {each}") for each in answers),
            g.key("cleaning.new", Turn(page=Page.NEW_TEST), kind="main", name="new result"),
        ),
        goes_on=True,
    )


def _answer(number: str, done: str) -> AnswerCleaningTest | Turn:
    """What a key sends; that a result was typed wrong is asked first, for then it counts nowhere."""
    if done == MISTYPED:
        return Turn(page=Page.TEST_MISTYPED, subject=number)
    return AnswerCleaningTest(test=number, done=done)


def mistyped(g: Glance) -> View:
    """Was this result typed wrong?"""
    say = g.words.say
    number = g.turn.subject if g.turn else ""
    test = next((each for each in every_test(g.bench, g.desk) if each.number == number), None)
    if test is None or done_about(g.bench, g.desk, number):
        return one_test(g)
    back = Turn(page=Page.CLEANING_TEST, subject=number)
    return AskView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, to=back),
        title=say("cleaning.mistyped.title"),
        help=" · ".join((f"{kind_words(g, test)}: {value_words(test)}", about_words(g, test.about), number)),
        notice=g.said(),
        steps=g.words.lines("cleaning.mistyped.steps"),
        no=Plate(word=say("check.no"), claim=say("cleaning.mistyped.no"), send=back),
        yes=Plate(
            word=say("check.yes"),
            claim=say("cleaning.mistyped.yes"),
            send=AnswerCleaningTest(test=number, done=MISTYPED),
        ),
    )


def _leads(g: Glance) -> bool:
    person = g.desk.catalogue.people.get(g.bench.who or "")
    return person is not None and person.role is Role.SUPERVISOR


def new_test(g: Glance) -> View:
    """One field after the other: what is measured, unit, how sampled, meter, what it is about, the value."""
    given = so_far(g.turn)
    match asks_for(given):
        case "kind":
            return _choice(g, given, "kind", tuple(Marker), "cleaning.kind")
        case "unit":
            return _choice(g, given, "unit", units_of(g.desk, given.kind), "")
        case "method":
            return _choice(g, given, "method", METHODS, "cleaning.method")
        case "meter":
            return _meter(g, given)
        case "what" | "about" as field:
            return _letters(g, given, field)
    return _number(g, given)


def _told(g: Glance, given: KeepCleaningTest) -> str:
    """What was given so far, in one line."""
    say = g.words.say
    meter = say("cleaning.meter", meter=given.meter) if given.meter not in {"", NO_METER} else ""
    kind = given.what or (say(f"cleaning.kind.{given.kind}") if given.kind else "")
    about = about_words(g, given.about) if given.about else ""
    return " · ".join(filter(None, (kind, given.unit, meter, about)))


def _help(g: Glance, given: KeepCleaningTest, field: str) -> str:
    """What to do on the page, after what was given where there is room for it."""
    do = g.words.say(f"cleaning.help.{field}")
    return do if g.small else f"{_told(g, given)}. {do}"


def _choice(g: Glance, given: KeepCleaningTest, field: str, options: tuple[str, ...], words: str) -> MenuView:
    return MenuView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, to=TESTS),
        title=g.words.say(f"cleaning.ask.{field}"),
        help=_told(g, given),
        notice=g.said(),
        lines=(),
        keys=tuple(
            Key(
                label=g.words.say(f"{words}.{each}") if words else each,
                send=replace(given, **{field: str(each)}),
                name=f"{field} {each}",
            )
            for each in options
        ),
    )


def _meter(g: Glance, given: KeepCleaningTest) -> NoteView | ListView:
    """Meters known here, a touch each; a scan or the letters name another. Light units never go without one."""
    say = g.words.say
    none = g.key("cleaning.no_meter", replace(given, meter=NO_METER), name="no meter")
    others = () if is_light(given.unit) else (none,)
    known = meters_known(g.bench, g.desk)
    if not known:
        return _letters(g, given, "meter", others)
    subject = g.turn.subject if g.turn else ""
    typed = g.key("cleaning.type", Turn(page=Page.NEW_METER, subject=subject), icon="keys", kind="main", name="type it")
    rows = [
        ListRow(title=meter, icon="arrow_right", send=replace(given, meter=meter), name=f"meter {meter}")
        for meter in known
    ]
    return listed(
        g,
        rows,
        page=Page.NEW_TEST,
        subject=subject,
        title=say("cleaning.ask.meter"),
        help_=_help(g, given, "meter"),
        nothing="",
        main=typed,
        others=others,
        back=TESTS,
    )


def new_meter(g: Glance) -> NoteView:
    """A meter that is not known here, letter by letter."""
    return _letters(g, so_far(g.turn), "meter")


def _letters(g: Glance, given: KeepCleaningTest, field: str, right: tuple[Key, ...] = ()) -> NoteView:
    say = g.words.say
    return letters(
        g,
        top=head(g, title=g.bench_name),
        hand=back_hand(g, *right, to=TESTS),
        title=say(f"cleaning.ask.{field}"),
        help_=_help(g, given, field),
        field=field,
        piece=field,
        most=LETTERS,
        done=g.key("cleaning.next", given, kind="main", icon="arrow_right", name="next field"),
    )


def _number(g: Glance, given: KeepCleaningTest) -> NumberView:
    say = g.words.say
    return NumberView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, to=TESTS),
        title=say("cleaning.ask.value", unit=given.unit),
        help=about_words(g, given.about) if g.small else _told(g, given),
        notice=g.said(),
        purpose="other",
        send=given,
        field="value",
        decimals=True,
        most=8,
        done=say("cleaning.keep"),
        erase=say("number.erase"),
    )


def trip_rows(g: Glance, trip: Trip) -> list[ListRow]:
    """The results about a trip, for its record: they stand beside what was found, and change none of it."""
    return [
        ListRow(
            title=g.words.say("cleaning.row", what=_kind_and_meter(g, test), grade=grade_words(g, test)),
            sub=f"{about_words(g, test.about)} · {g.since(test.at_ms)}",
            value=value_words(test),
        )
        for test in tests_of(g.bench, g.desk, trip)
    ]


STEPS: dict[str, Callable[[Glance], View]] = {}
PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.CLEANING_TESTS: tests,
    Page.CLEANING_TEST: one_test,
    Page.TEST_MISTYPED: mistyped,
    Page.NEW_TEST: new_test,
    Page.NEW_METER: new_meter,
}
HAPPENED: tuple[Offer, ...] = ()
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = ()
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = (_desk_key,)
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {}
"""What a second person is asked, by what it is about."""

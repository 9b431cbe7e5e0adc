"""The rules of people, settings, catalogue and policy."""

from collections.abc import Callable
from typing import Any

from kiosk.core import events as e
from kiosk.core.commands import (
    BeginDepartment,
    BeginLesson,
    ChooseSetting,
    DraftRule,
    DropDraft,
    ForgiveTries,
    KeepItem,
    KeepKit,
    KeepLoad,
    KeepPerson,
    KeepTray,
    LendBadge,
    NoteUnsigned,
    Page,
    SetPin,
    SignBeside,
    SignCompetency,
    SignPolicy,
    TakeOnUnsigned,
    Turn,
)
from kiosk.core.decide import beginning, records, roster, ruling_book, unsigned
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.settings import CHOICES, settings_of


def choose_setting(pen: Pen, command: ChooseSetting) -> None:
    """A setting of one's own, kept with the person."""
    if command.value not in CHOICES.get(command.key, ()):
        raise Refused("refused.not_asked")
    assert pen.bench.who is not None
    pen.write(e.SettingChosen(person=pen.bench.who, key=command.key, value=command.value), off_trip=True)


def keep_language(pen: Pen, language: str) -> None:
    """The language touched on the sign-in page becomes that of a person who has chosen none."""
    chosen = settings_of(pen.bench.who, (pen.bench, *pen.desk.others.values())).language
    if language in CHOICES["language"] and not chosen:
        choose_setting(pen, ChooseSetting(key="language", value=language))


def begin_lesson(pen: Pen, command: BeginLesson) -> None:
    """Begin a lesson, in the practice only."""
    if not pen.desk.practice or command.lesson not in pen.desk.lessons:
        raise Refused("refused.not_asked")
    pen.write(e.LessonBegun(lesson=command.lesson), private=True)
    pen.turn = Turn(page=Page.LESSON)


RULES: dict[type, Callable[[Pen, Any], None]] = {
    ChooseSetting: choose_setting,
    KeepPerson: roster.keep_person,
    LendBadge: roster.lend_badge,
    SetPin: roster.set_pin,
    ForgiveTries: roster.forgive_tries,
    BeginDepartment: beginning.begin,
    NoteUnsigned: unsigned.note,
    TakeOnUnsigned: unsigned.take_on,
    SignCompetency: roster.sign_competency,
    SignBeside: roster.cosign,
    DraftRule: ruling_book.draft_rule,
    DropDraft: ruling_book.drop_draft,
    SignPolicy: ruling_book.sign_policy,
    KeepTray: records.keep_tray,
    KeepItem: records.keep_item,
    KeepKit: records.keep_kit,
    KeepLoad: records.keep_load,
    BeginLesson: begin_lesson,
}
BY_NOBODY: tuple[type, ...] = (BeginDepartment, NoteUnsigned)
"""Commands that need nobody signed in."""


def settle(pen: Pen) -> None:
    """What follows by itself."""
    ruling_book.show_once(pen)

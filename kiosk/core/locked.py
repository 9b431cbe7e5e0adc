"""Locked by quiet: where the person was, so that signing in again finds the work as it was left."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from kiosk.core.agenda import Step
from kiosk.core.catalogue import Person
from kiosk.core.commands import Page, Turn


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """Who was signed in when the bench was locked, the step they were at, and the page that lay over it."""

    who: str
    step: Step
    turn: Turn


_OF_PEOPLE = frozenset({Page.PERSON, Page.NEW_PIN, Page.COMPETENCY, Page.HAND_OVER, Page.FOUND_BY})
"""Pages whose subject is a person without that person having signed in for it."""


def page_again(left: Left, people: Mapping[str, Person]) -> Turn:
    """The page to go on at. Another's sign-in for one ruling or one answer ended with the lock: it is asked again."""
    turn = left.turn
    if turn.page is Page.SECOND:
        return Turn(page=Page.PIN, subject=f"second:{turn.subject}")
    others = people.keys() - {left.who}
    if turn.page not in _OF_PEOPLE | {Page.PIN, Page.NAMES} and others & set(re.split(r"[:/|@]", turn.subject)):
        return Turn(page=Page.NAMES, subject="ruling:")
    return turn

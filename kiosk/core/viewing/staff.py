"""What is shown of people, settings, catalogue and policy."""

from collections.abc import Callable

from kiosk.core.commands import Page
from kiosk.core.glance import Glance
from kiosk.core.viewing import beginning, own, practice, records, roster, ruling_book, unsigned
from kiosk.core.viewing.menus import Offer
from kiosk.core.views import View

STEPS: dict[str, Callable[[Glance], View]] = {"begin": beginning.begin, "unsigned": unsigned.take_on}
PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.SETTINGS: own.settings,
    Page.BEGIN: beginning.begin,
    Page.UNSIGNED: unsigned.unsigned,
    Page.PEOPLE: roster.people,
    Page.PERSON: roster.person,
    Page.NEW_PIN: roster.new_pin,
    Page.COMPETENCY: roster.competency,
    Page.LESSONS: practice.lessons,
    Page.LESSON: practice.lesson,
    Page.LESSON_END: practice.lesson_end,
    Page.RECORDS: records.records,
    Page.TRAY_RECORD: records.tray_record,
    Page.ITEM_RECORD: records.item_record,
    Page.UNCONFIRMED: records.unconfirmed_page,
    Page.KIT_RECORD: records.kit_record,
    Page.LOAD_RECORDS: records.load_records,
    Page.POLICY: ruling_book.policy,
    Page.RULES: ruling_book.rules,
    Page.RULE: ruling_book.rule,
    Page.POLICY_DRAFT: ruling_book.draft,
    Page.NEW_RULES: ruling_book.new_rules,
}
HAPPENED: tuple[Offer, ...] = (practice.lessons_key,)
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = ()
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = (roster.desk_key, records.desk_key, ruling_book.desk_key)
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {
    "competency": roster.competency_signature,
    "cosign": roster.cosign,
    "policy": ruling_book.signature,
}
"""What a second person is asked, by what it is about."""

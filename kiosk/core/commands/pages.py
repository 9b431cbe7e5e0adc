"""The pages that stand over the work without changing it, and the turn to one."""

from dataclasses import dataclass
from enum import StrEnum


class Page(StrEnum):
    """A page that stands over the work without changing it."""

    OVERVIEW = "overview"
    TYPE_NUMBER = "type_number"  # the scanner's stand-in
    STOP = "stop"  # stop here, keep my place
    SOIL = "soil"  # what soil looks like
    PHOTO = "photo"
    WIPE = "wipe"
    PIN = "pin"
    NAMES = "names"  # more people, or the supervisor's own sign-in for a ruling
    RULING = "ruling"
    RULING_NOTE = "ruling_note"
    RULING_PIECES = "ruling_pieces"  # which of several pieces that wait
    SPARE = "spare"
    WHY = "why"  # why this check, why not the others
    RESUME = "resume"  # was it covered and untouched?
    DONE = "done"
    SCOPE_BACK = "scope_back"
    SECOND = "second"  # what a second person is asked; subject: `about:person`
    # counting
    HAPPENED = "happened"  # something else happened: what may be told at any moment
    SEARCH = "search"  # where a missing piece is looked for
    MATCHES = "matches"  # trays it may lie in
    FOUND_WHERE = "found_where"
    FOUND_BY = "found_by"
    MIXED = "mixed"  # which tray was it mixed with
    MIXED_SAY = "mixed_say"
    EXCHANGE = "exchange"
    DISCARD = "discard"
    OVERRIDE = "override"  # what a supervisor may let go on, and why
    OVERRIDE_SAY = "override_say"  # said back before it is given
    OVERRIDE_WORDS = "override_words"
    # trays
    LOADS = "loads"  # which load was found bad
    LOAD_BAD = "load_bad"  # why; subject: the load
    FETCH = "fetch"  # packages of a load found bad, to be fetched; subject: the load
    PACKAGE = "package"  # a package by its number: why is it opened again?
    PACKAGE_WET = "package_wet"  # why it came out wet; subject: its number
    OLD_LABEL = "old_label"  # the old label is destroyed; subject: its number
    HAND_OVER = "hand_over"  # who takes the open tray
    NOT_LISTED = "not_listed"  # a typed number that no bench has told of; subject: the number
    ELSEWHERE = "elsewhere"  # the tray is open at another station; subject: its code
    RUSH = "rush"  # which tray is wanted by a time
    RACK = "rack"  # this rack is not released; subject: the load
    LOAD_ALERT = "load_alert"  # too many soiled pieces of one load; subject: the load
    IMPLANT = "implant"  # one line of implants: there, used in surgery, refilled; subject: the line
    # looking
    STOP_LIST = "stop_list"  # the supervisor's stop list
    STOP_NOTICE = "stop_notice"  # one notice of it; subject: the notice
    STOP_NEW = "stop_new"  # a new notice, or (subject: the notice) a mark typed for it
    STOP_TYPES = "stop_types"  # item types to put under a notice
    STOP_ADD = "stop_add"  # what is put under a notice: a mark, an item type, a lot
    STOP_LOT = "stop_lot"  # a lot typed for a notice
    STOP_ENTRY = "stop_entry"  # an entry to be taken off; subject: `kind|value|notice`
    DROPPED = "dropped"  # which piece fell
    PATHOGEN = "pathogen"  # say it back before everything stops
    PATHOGEN_NOTE = "pathogen_note"
    MEASURE = "measure"  # number pads; subject: piece|lumen|goes|stops
    CORRECT = "correct"  # which lumen the record has wrong, or (piece|lumen|inside) its pads; subject: by:...
    OFTEN = "often"  # what came back again and again
    # pictures of lumens
    CAMERA = "camera"  # a picture of the lumen that is looked into, or of the finding
    NO_STILL = "no_still"  # why there is none
    TARGET = "target"  # the scopes' test target; subject: the scope, or "" where there are several
    STILLS = "stills"  # after the answer: today's still beside the known look; subject: its number
    PICTURES = "pictures"  # what is known of a trip's or an item's pictures; subject: the record's, or `item=A1`
    KEPT_PICTURE = "kept_picture"  # one of them, large; number: which; subject: as of the list
    # kit and safety
    SCOPE_GAP = "scope_gap"  # why a scope goes on without a cleaning; subject: the supervisor, where policy wants one
    SWAB_LOT = "swab_lot"
    SWAB_LOTS = "swab_lots"
    KIT = "kit"
    EXPOSURES = "exposures"  # the exposure notes, by number
    NOTE = "note"  # the exposure note that is open
    NOTE_FIELD = "note_field"  # one field of it; subject: the field
    EXPOSED = "exposed"  # a tray that was marked exposed; subject: `trip:supervisor`
    EXPOSED_TRAYS = "exposed_trays"  # subject: the supervisor
    # cleaning tests
    CLEANING_TESTS = "cleaning_tests"  # subject: "", or a result's number: those of its kind, unit and meter
    CLEANING_TEST = "cleaning_test"  # subject: its number
    TEST_MISTYPED = "test_mistyped"  # was it typed wrong? subject: its number
    NEW_TEST = "new_test"  # subject: the fields given so far
    NEW_METER = "new_meter"  # the same, where a meter that is not known here is typed
    # readings
    READING = "reading"  # a picture of a set, asked blind; subject: the set
    READING_SETS = "reading_sets"
    READING_SET = "reading_set"  # subject: the set
    READING_SPLIT = "reading_split"  # a picture that was not read alike; subject: the set, number: which
    REFERENCES = "references"  # the department's own pictures
    REFERENCE = "reference"  # subject: its number
    # decontam
    INTAKE = "intake"  # one return at decontam's station; subject: its ticket
    RETURNS = "returns"  # every open return
    ANSWER = "answer"  # an answer with consequences, said back; subject: `ticket:says`
    DIRTY = "dirty"  # lumens of a tray that were looked at on the dirty side; subject: the tray's code
    ABSENT = "absent"  # a return that decontam looked for and did not find
    BACK = "back"  # what came back clean; subject: `ticket:load`, either may be empty
    CANNOT_REACH = "cannot_reach"  # a piece that no permitted check reaches
    FORM = "form"  # the number of the spare form that was written by hand
    PAPERS = "papers"  # print a paper again
    # the supervisor's desk
    DESK = "desk"
    NEEDS = "needs"  # what needs a ruling now
    HANDOVER = "handover"
    TYPICAL = "typical"  # item records that nobody confirmed
    CONFLICT = "conflict"  # subject: the conflict's name
    LOOKBACK = "lookback"  # subject: `load=W-2204`, or a code as scanned
    LOOKBACK_TYPED = "lookback_typed"
    LOOKBACK_WHY = "lookback_why"
    FORMS = "forms"  # numbered spare forms
    FORM_FILLED = "form_filled"  # a filled form is entered; subject: the fields given so far
    SHIFTS = "shifts"  # which shift's summary
    SUMMARY = "summary"  # subject: `day/2031-03-04`
    FIGURE = "figure"  # what stands behind a figure; subject: `day/2031-03-04/soil`
    TRIP = "trip"  # the record of one trip; subject: its number
    NUMBERS = "numbers"  # the quality desk's first page
    CHARTS = "charts"  # which chart; subject: `one` finding or item type, `kinds` of chart, or ""
    CHART = "chart"  # one chart; subject: `days/by/group/type/came from`, `by` also `where`, `codes` or `types`
    FIX_USUAL = "fix_usual"  # are these days the usual ones? subject: as of the chart
    POINTS = "points"  # the points of a chart; subject: the chart's
    POINT = "point"  # the trips behind a point; subject: the chart's, `@` and its label
    TIME = "time"  # time and people; subject: "", `types`, `every`, `benches/30`, `draft`, with `?` its limits
    UNSEEN = "unseen"  # what the plan never sees, by item type; subject: `touched`, or `?` for how it is reckoned
    UNSEEN_LIST = "unseen_list"  # the lumens not seen, with their reasons
    UNSEEN_LUMEN = "unseen_lumen"  # all reasons of one; subject: `tray/item/lumen`
    KIT_CHANGES = "kit_changes"  # what could be added to the kit; subject: `two` together, or `?`: how it is reckoned
    KIT_RANKED = "kit_ranked"  # the ranked list; subject: `one`, `two` or "" for both
    PAPER = "paper"  # how a paper of the desk stands; subject: `doc/number`
    SET_UP = "set_up"  # a page of the set-up, before the bench is up; subject: which one
    LEAVE = "leave"  # said back before a supervisor leaves the bench; subject: `close` or `set_up`
    # staff
    SETTINGS = "settings"  # what the person signed in set for themselves
    PEOPLE = "people"
    PERSON = "person"  # subject: the person, or `what:person` of one thing to change
    NEW_PIN = "new_pin"
    COMPETENCY = "competency"
    BEGIN = "begin"  # the first supervisor of all; subject: `name/badge`, as far as they are given
    UNSIGNED = "unsigned"  # something is noted without a sign-in; subject: the open tray's trip
    LESSONS = "lessons"
    LESSON = "lesson"  # the steps of the one that was begun
    LESSON_END = "lesson_end"  # what was right
    RECORDS = "records"
    TRAY_RECORD = "tray_record"  # subject: the tray, or `tray/what` of one thing to change
    ITEM_RECORD = "item_record"  # subject: `tray/item`, or `tray/item/field/lumen` of one thing to change
    UNCONFIRMED = "unconfirmed"
    KIT_RECORD = "kit_record"
    LOAD_RECORDS = "load_records"
    POLICY = "policy"
    RULES = "rules"  # subject: the group
    RULE = "rule"  # subject: the key
    POLICY_DRAFT = "policy_draft"
    NEW_RULES = "new_rules"  # subject: the version that was shown before


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """Show a page (None: back to the work). `subject` is what it is about; `number` its page number from 0.

    `language`: the sign-in pages speak it from here on, until somebody has signed in.
    """

    page: Page | None = None
    subject: str = ""
    number: int = 0
    language: str = ""

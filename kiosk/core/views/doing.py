"""Views that say what happens next: decision, steps, packing, papers, stops, first aid."""

from dataclasses import dataclass

from kiosk.core.views.shared import Band, Key, Ring, Screen


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionView(Screen):
    """What will happen, and why, said back: one plain sentence, the drawing, one key for it."""

    ring: Ring
    word: str  # NOT CLEAR, LOOK AGAIN ...
    said: str
    place: str
    because: tuple[str, ...]
    band: Band | None
    moves: tuple[Key, ...]  # one centimeter either way
    photo: Key | None
    photo_state: str
    main: Key | None
    others: tuple[Key, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoView(Screen):
    """Pictures found in the picture folder; the screen lists files through the seam `sources`. Sends KeepPhoto."""

    source_words: str
    none_yet: str
    use: str
    refresh: str
    reasons: tuple[Key, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StepsView(Screen):
    """Steps to do with the hands: drying, putting right, bench cleaning, gloves, scope cleaning, shelf.

    `now` is the step being done (from 0). `timer_ms`: the main key opens after so long; `since_ms` is when it began.
    """

    steps: tuple[str, ...]
    now: int
    worn: tuple[str, ...] = ()  # gloves, eye, mask, gown: pictures
    worn_words: str = ""
    cautions: tuple[str, ...] = ()
    main: Key
    others: tuple[Key, ...] = ()
    timer_ms: int = 0
    since_ms: int = 0
    timer_words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackView(Screen):
    """Weight, indicators and packaging on one page; what is chosen stays marked."""

    weight_title: str  # "" when the set is not weighed
    weight: str
    weigh: Key | None
    weight_warning: str
    indicator_title: str
    indicators: tuple[Key, ...]
    placed: int | None
    packaging_title: str
    packaging: tuple[Key, ...]
    chosen: str
    saying: str
    main: Key | None
    wait: str  # what opens the main key, when it is not there


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperState:
    """One paper on its way: name, number in large letters, and how it stands."""

    name: str
    number: str
    state: str
    ring: Ring
    lines: tuple[str, ...] = ()  # what to copy by hand when the printer is down


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintView(Screen):
    """Papers being printed, or that could not be."""

    papers: tuple[PaperState, ...]
    main: Key | None
    others: tuple[Key, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneView(Screen):
    """The trip has ended: rings in order, what was said, where the papers are."""

    rings: tuple[Ring, ...]
    saying: str
    lines: tuple[str, ...]
    main: Key


@dataclass(frozen=True, slots=True, kw_only=True)
class StopView(Screen):
    """The work stops here: load not released, plan says hold, a scan of another kind, this bench cannot save."""

    sentence: str
    lines: tuple[str, ...]
    main: Key | None
    others: tuple[Key, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MenuView(Screen):
    """A page of big keys with words: stop here, the supervisor's ruling, why no picture.

    `places`: where each key stands, counted from the left and the top; () one after the other. `rows` are always
    there. `goes_on`: the last key leads on from the page, and stands low on the right.
    """

    lines: tuple[str, ...]
    keys: tuple[Key, ...]
    places: tuple[int, ...] = ()
    rows: int = 0
    goes_on: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class HelpView(Screen):
    """What soil looks like on this piece, or why this check: name and text, a page."""

    entries: tuple[tuple[str, str, str], ...]  # icon, name, text
    page: int
    pages: int
    page_words: str
    previous: Key
    next: Key


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteView(Screen):
    """Letters for a short note. The screen sends what `done` says, with the note put into its `field`."""

    field: str = "note"
    by: str
    piece: str
    most: int
    done: Key
    erase: str
    space: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstAidView(Screen):
    """First aid at once. No question, no sign-in. `since_ms` starts the running clock.

    `call` and `phone`: whom to call, the number in the largest letters; `then` those who are called next.
    """

    steps: tuple[str, ...]
    since_ms: int
    minutes_words: str
    unset: str  # the facility has not filled in its own words yet
    call: str = ""
    phone: str = ""
    then: tuple[str, ...] = ()
    main: Key
    mistake: Key


@dataclass(frozen=True, slots=True, kw_only=True)
class WipeView(Screen):
    """The screen is deaf. Wakes when the time is up and nobody touches, or by a badge."""

    seconds: int
    keep_wet: str
    striped: str
    kept: str
    half_time: str

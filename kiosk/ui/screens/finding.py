"""What was seen and where: two taps in any order, then it is reported."""

from dataclasses import dataclass, replace

from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.core.commands import ReportFinding
from kiosk.core.place import Place
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.finding_parts import ChoiceKeys, SayingPanel, WherePart
from kiosk.ui.screens.screen import Screen
from kiosk.ui.theme import BOLD, T


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rows:
    """Heights in mm within the slot: the where part, title of the choices, the choices, a key of them."""

    where: float
    title: float
    choices: float
    key: float
    gap: float


_LARGE = _Rows(where=57, title=60, choices=73, key=27, gap=5)
_LARGE_NAMED = _Rows(where=76.6, title=77.4, choices=86.6, key=22.4, gap=4)  # with a row of landmarks under the tube
_SMALL = _Rows(where=44, title=0, choices=47.3, key=18.2, gap=4)
PANEL_MM, PANEL_GAP_MM, COLUMNS = 77.0, 8.0, 3


class FindingScreen(Screen):
    """The tube above, the choices below; beside them what is being said so far. There is no key to keep it."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._view: views.FindingView | None = None
        self._choice: views.Choice | None = None
        self._place: Place | None = None
        self._touched: tuple[views.Choice | None, Place | None] = None, None  # when another screen came over this one
        self._more: int | None = None  # the page of the other words; None: the first words
        self.where: WherePart | None = None
        self.choices: ChoiceKeys | None = None
        self.panel: SayingPanel | None = None
        self.what_title: Words | None = None

    def show_view(self, view: views.FindingView) -> None:
        """Show what can be said; what was touched stays when only a notice came."""
        before, self._view = self._view, view
        if before is None or replace(before, notice="", head=view.head) != replace(view, notice=""):
            self._build(view)
            self._forget()
            self._touched = None, None
        self._refresh()

    def begin(self) -> None:
        super().begin()
        self._forget()
        self._refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if not event.spontaneous():
            self._touched = self._choice, self._place

    def take_up(self) -> None:
        """The first of the two touches counts still."""
        self._choice, self._place = self._touched
        self._refresh()

    def _forget(self) -> None:
        self._choice = self._place = self._more = None
        if self.where:
            self.where.show_first()

    def _build(self, view: views.FindingView) -> None:
        self._ask(view)
        self.clear_slot()
        metrics = self.glass.metrics
        small, edge = metrics.small, metrics.edge_mm
        tube_and_names = view.band is not None and view.band.lumen is not None and bool(view.landmarks)
        rows = _SMALL if small else _LARGE_NAMED if tube_and_names else _LARGE
        self.where = WherePart(self.glass, view, rows.where)
        self.where.chosen.connect(self._on_place)
        self.where.place_in(self)
        wide = metrics.content_mm - 2 * edge - (0 if small else PANEL_MM + PANEL_GAP_MM)
        self.choices = ChoiceKeys(self.glass, COLUMNS, rows.gap)
        self.choices.chosen.connect(self._on_choice)
        self.place(self.choices, edge, rows.choices, wide, 2 * rows.key + rows.gap)
        self.panel = self.what_title = None
        if small:
            return
        self.what_title = Words(
            self.glass,
            view.what,
            size=((T.T4, 1), (T.T3, 1)) if tube_and_names else ((T.T5, 1), (T.T4, 1)),
            weight=BOLD,
        )
        self.place(self.what_title, edge, rows.title - 0.6, wide, rows.choices - rows.title + 0.2)
        self.panel = SayingPanel(self.glass, view)
        x = metrics.content_mm - edge - PANEL_MM
        top = rows.title + 1
        self.place(self.panel, x, top, PANEL_MM, rows.choices + rows.key - top)
        self.choices.more_key.setParent(self)
        self.place(self.choices.more_key, x, rows.choices + rows.key + rows.gap, PANEL_MM, rows.key)

    def _ask(self, view: views.FindingView) -> None:
        """On the 10-inch screen the second question and what is said so far stand in the question's place too."""
        if not self.glass.metrics.small:
            self.show_question(view.where, "", (), view.notice, big=False, tight=True)
            return
        self.show_question(view.where, view.what, self._saying(view), view.notice, big=False, tight=True)

    def _saying(self, view: views.FindingView) -> tuple[str, str]:
        where = place_words(view, self._place)
        return (self._choice.label if self._choice else view.choose_first, where or view.touch_first)

    def _refresh(self) -> None:
        view, where, choices = self._view, self.where, self.choices
        if view is None or where is None or choices is None:
            return
        self._ask(view)
        page = choices.show_choices(view, self._more, self._choice)
        where.show_place(view, self._place, place_words(view, self._place))
        if self.panel:
            what, where_words = self._saying(view)
            self.panel.show_said(what, where_words, has_what=bool(self._choice), has_where=self._place is not None)
        self.show_rails(view, self._hand_of(view, page))

    def _hand_of(self, view: views.FindingView, pages: int) -> views.Hand:
        """Keys that turn pages stand beside the aid key; on the 10-inch screen the way to more words does too."""
        left, right = view.hand.left, view.hand.right
        before = views.Key(label=view.previous_word, name="words before")
        after = views.Key(label=view.next_word, name="words after")
        if self._more is not None:
            left = (*left, before) if self._more > 0 else left
            right = (after, *right) if self._more < pages - 1 else right
        if self.glass.metrics.small and view.more:
            word = view.more_word if self._more is None else view.fewer_word
            right = (*right, views.Key(label=word, name="more words"))
        return replace(view.hand, left=left, right=right)

    def _on_action(self, action: str, payload: object) -> None:
        turn = {"words before": -1, "words after": 1}.get(action)
        if turn is not None:
            self._more = max(0, (self._more or 0) + turn)
        elif action == "more words":
            self._more = 0 if self._more is None else None
        else:
            super()._on_action(action, payload)
            return
        self._refresh()

    def _on_choice(self, choice: object) -> None:
        if isinstance(choice, views.Choice):
            self._choice = choice
            self._report()

    def _on_place(self, place: object) -> None:
        if isinstance(place, Place):
            self._place = place
            self._report()

    def _report(self) -> None:
        """Say so as soon as both are there, or at once where no place is asked or none can be named."""
        view, choice = self._view, self._choice
        self._refresh()
        if view is None or choice is None:
            return
        no_place = not choice.wants_place or (not view.landmarks and (view.band is None or view.band.lumen is None))
        if self._place is not None or no_place:
            self.send(ReportFinding(code=choice.code, place=self._place or Place(lumen=view.lumen)))


def place_words(view: views.FindingView, place: Place | None) -> str:
    """A place as the panel says it, from the view's words."""
    if place is None:
        return ""
    if place.all_along:
        return view.all_along
    if place.at_mm is not None:
        return f"{place.at_mm / 10:g} {view.cm_from}".replace("\n", " ")
    names = (mark.name for mark in view.landmarks)
    return dict(zip(names, view.landmark_words, strict=False)).get(place.landmark, place.landmark)

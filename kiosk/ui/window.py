"""The one window: the type of a view picks its screen. It holds no words and no state of the work."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QKeyEvent
from PySide6.QtWidgets import QStackedLayout, QWidget

from kiosk.core import views
from kiosk.core.commands import Answer, AnswerStartup, Page, Turn
from kiosk.core.settings import Settings
from kiosk.core.still import Compared
from kiosk.core.views import View
from kiosk.ui.parts.gallery import Gallery
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.guard import ClosedGuard
from kiosk.ui.parts.key_path import KeyPath
from kiosk.ui.parts.lens import LensSource
from kiosk.ui.parts.spoken import name_parts
from kiosk.ui.parts.veil import Veil
from kiosk.ui.screens.screen import Screen

CLOCK_EVERY_MS = 5_000

SCREENS: dict[type[View], tuple[str, str]] = {
    views.SignInView: ("sign_in", "SignInScreen"),
    views.PinView: ("pin", "PinScreen"),
    views.AskView: ("ask", "AskScreen"),
    views.ScanView: ("scan", "ScanScreen"),
    views.NumberView: ("number", "NumberScreen"),
    views.OverviewView: ("overview", "OverviewScreen"),
    views.CountView: ("count", "CountScreen"),
    views.FindingView: ("finding", "FindingScreen"),
    views.DecisionView: ("decision", "DecisionScreen"),
    views.PhotoView: ("photo", "PhotoScreen"),
    views.StepsView: ("steps", "StepsScreen"),
    views.PackView: ("pack", "PackScreen"),
    views.PrintView: ("printing", "PrintScreen"),
    views.DoneView: ("done", "DoneScreen"),
    views.StopView: ("stop", "StopScreen"),
    views.MenuView: ("menu", "MenuScreen"),
    views.HelpView: ("help", "HelpScreen"),
    views.NoteView: ("note", "NoteScreen"),
    views.FirstAidView: ("first_aid", "FirstAidScreen"),
    views.WipeView: ("wipe", "WipeScreen"),
    views.ListView: ("listing", "ListScreen"),
    views.PanelsView: ("panels", "PanelsScreen"),
    views.CameraView: ("camera", "CameraScreen"),
    views.StillsView: ("compare", "CompareScreen"),
    views.TargetView: ("target", "TargetScreen"),
    views.SecondLookView: ("second_look", "SecondLookScreen"),
    views.ReadingView: ("reading", "ReadingScreen"),
    views.PictureView: ("reading", "PictureScreen"),
    views.IdleView: ("intake", "IdleScreen"),
    views.IntakeView: ("intake", "IntakeScreen"),
    views.CardView: ("card", "CardScreen"),
    views.DotsView: ("dots", "DotsScreen"),
    views.TrialView: ("trial", "TrialScreen"),
}
"""Module in kiosk.ui.screens and class; a module is loaded when its screen is first shown."""


_OF_KEPT = (views.SecondLookView, views.IntakeView, views.StillsView, views.ReadingView, views.PictureView)
"""Views that show kept pictures."""

_OF_SOURCE = (views.CameraView, views.TargetView, views.TrialView)
"""Views that show the live picture."""

_SIGNING = (views.SignInView, views.PinView, views.WipeView)
"""What stands between the lock and the work."""


class Window(QWidget):
    """Shows views. `wall_ms` is the wall clock in ms, `clock_text` its time as read in the head rail.

    `kiosk` True: nothing closes it until `let_go()`.
    """

    sent = Signal(object)
    typed = Signal(str, str)
    picture_chosen = Signal(str)
    still_frozen = Signal(object)
    still_wanted = Signal(object, object)
    still_said = Signal(str)
    compare_wanted = Signal(str, str)
    target_wanted = Signal(object, str)
    target_said = Signal(str)
    minute_turned = Signal()

    def __init__(
        self, glass: Glass, *, wall_ms: Callable[[], int], clock_text: Callable[[], str], kiosk: bool = False
    ) -> None:
        super().__init__()
        self.glass, self._wall_ms, self._clock_text = glass, wall_ms, clock_text
        self._held, self._time = kiosk, ""
        self._bare, self._own = glass, ("right", "right", "usual", "usual", "usual")
        self._screens: dict[type[View], Screen] = {}
        self._twins: dict[type[View], Any] = {}
        self._sets = {self._own: (glass, self._screens, self._twins)}  # screens made so far, by a person's settings
        self._view: View | None = None
        self._locked: View | None = None  # what was asked when the bench was locked
        self._pictures: Callable[[], Sequence[Path]] | None = None
        self._kept: Callable[[str], Path] | None = None
        self._source: LensSource | None = None
        self._thumbs: Callable[[str], Path | None] | None = None
        self._stack = QStackedLayout(self)
        self._stack.setContentsMargins(0, 0, 0, 0)
        if kiosk:
            self.setWindowFlag(Qt.WindowType.FramelessWindowHint)
        self.path = KeyPath(glass, self)
        self.veil = Veil(glass, self)
        self._foot_is_yes = False
        self.path.foot_answers, self.path.freezes = self._foot_answers, self._freezes
        self.resize(glass.metrics.width_px, glass.metrics.height_px)
        self.clock_timer = QTimer(self, interval=CLOCK_EVERY_MS)
        self.clock_timer.timeout.connect(self._on_clock)
        self.clock_timer.start()

    @property
    def small(self) -> bool:
        """Is this the frame of the 10-inch screen?"""
        return self.glass.metrics.small

    @property
    def current(self) -> Screen | None:
        """The screen that is shown."""
        return None if self._view is None else self._screens[type(self._view)]

    @property
    def shown(self) -> View | None:
        """The view that is shown."""
        return self._view

    def use(self, settings: Settings) -> None:
        """Stand as the person at the glass has it. Nothing that is shown moves unless the settings differ."""
        self._foot_is_yes = settings.foot == "yes"
        own = (settings.yes, settings.hand, settings.text, settings.reach, settings.motion)
        if own == self._own:
            return
        self._own, self._view = own, None
        if own not in self._sets:
            self._sets[own] = (_glass_for(self._bare, settings), {}, {})
        self.glass, self._screens, self._twins = self._sets[own]

    def show_view(self, view: View) -> None:
        """Show a view on the screen of its type."""
        another = self._view is None or question_of(view) != question_of(self._view)
        screen: Any = self._screens.get(type(view)) or self._make(type(view))
        if isinstance(view, views.SignInView) and self._view is not None and not isinstance(self._view, _SIGNING):
            self._locked = self._view
        screen.show_view(view)
        self._view = view
        self.show_time()
        self._stack.setCurrentWidget(screen)
        self.veil.raise_()
        name_parts(screen)
        if another:
            self.path.clear()
            screen.begin()
            if not isinstance(view, _SIGNING):
                if self._locked is not None and question_of(self._locked) == question_of(view):
                    screen.take_up()
                self._locked = None

    def show_time(self) -> None:
        """Write the time into the head rail."""
        self._time = self._clock_text()
        if self.current is not None:
            self.current.set_clock(self._time)

    def _on_clock(self) -> None:
        before = self._time
        self.show_time()
        if self._time != before:
            self.minute_turned.emit()

    def set_pictures(self, source: Callable[[], Sequence[Path]]) -> None:
        """Where the photo screen finds its pictures, newest first."""
        self._pictures = source
        for photo in self._made(views.PhotoView):
            photo.set_source(source)

    def set_kept(self, kept: Callable[[str], Path]) -> None:
        """Where a kept picture lies, by its name."""
        self._kept = kept

    def set_source(self, source: LensSource | None, thumbs: Callable[[str], Path | None]) -> None:
        """Where the scope's picture comes from, and where the small pictures of kept stills lie."""
        self._source, self._thumbs = source, thumbs
        for screen in self._made(*_OF_SOURCE):
            if source is not None:
                screen.set_source(source)

    def still_settled(self, still: object, *, kept: bool) -> bool:
        """Tell the camera page how keeping this still went; is it frozen there again?"""
        frozen = [camera.settled(still, kept=kept) for camera in self._made(views.CameraView)]
        return any(frozen)

    def show_compared(self, compared: Compared) -> None:
        """Give the page that compares what came of it."""
        for page in self._made(views.StillsView):
            page.show_compared(compared)

    def target_settled(self) -> None:
        """Tell the page of the test target that the reading has come to its end."""
        for page in self._made(views.TargetView):
            page.settled()

    def _made(self, *kinds: type[View]) -> list[Any]:
        """The screens of these views that were made so far, for whatever person's settings."""
        return [screens[kind] for _, screens, _ in self._sets.values() for kind in kinds if kind in screens]

    def let_go(self) -> None:
        """From now on the window may be closed."""
        self._held = False

    def key_typed(self, text: str) -> None:
        """A key typed by hand, for a screen that takes letters or digits."""
        if self.current is not None:
            self.current.key_typed(text)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The way by keys goes through every screen; letters and digits reach those that take them."""
        if self.veil.wake():
            event.accept()
            return
        if self.current is not None and self.path.take(event, self.current):
            event.accept()
            return
        if event.text():
            self.key_typed(event.text())
        event.accept()

    def _foot_answers(self) -> bool:
        """Is this a question that a foot may say YES to? A signature or a ruling takes a hand."""
        asks = self._view.yes.send if isinstance(self._view, views.AskView) else None
        return self._foot_is_yes and isinstance(asks, Answer | AnswerStartup)

    def _freezes(self) -> bool:
        """Does the screen that is shown take the foot key for itself?"""
        return self.current is not None and self.current.foot_pressed()

    def closeEvent(self, event: QCloseEvent) -> None:
        if self._held:
            event.ignore()
        else:
            event.accept()

    def make_ahead(self) -> None:
        """Make the screens that were not shown yet, one at a time, so that the first touch to each is as quick."""
        kind = next((kind for kind in SCREENS if kind not in self._screens), None)
        if kind is not None:
            self._make(kind)
            QTimer.singleShot(0, self, self.make_ahead)

    def paint_ahead(self, view: View) -> None:
        """Paint a view that is likely to come next, unseen: its pictures then lie ready in the gallery."""
        kind = type(view)
        twin: Any = self._twins.get(kind)
        if twin is None:
            twin = self._twins[kind] = self._new(kind, replace(self.glass, guard=ClosedGuard(self.glass.guard.clock)))
            twin.wall_ms = self._wall_ms
            twin.resize(self.size())
        twin.show_view(view)
        twin.set_clock(self._clock_text())
        twin.grab()

    def _new(self, kind: type[View], glass: Glass) -> Any:
        module, name = SCREENS[kind]
        return getattr(import_module(f"kiosk.ui.screens.{module}"), name)(glass)

    def _make(self, kind: type[View]) -> Screen:
        made = self._new(kind, self.glass)
        made.wall_ms = self._wall_ms
        made.sent.connect(self.sent)
        made.cloth_seen.connect(self._on_cloth)
        if kind is views.NumberView:
            made.typed.connect(self.typed)
        if kind is views.PhotoView:
            made.picture_chosen.connect(self.picture_chosen)
            if self._pictures is not None:
                made.set_source(self._pictures)
        if kind is views.StillsView:
            made.wanted.connect(self.compare_wanted)
        if kind in _OF_KEPT and self._kept is not None:
            made.set_kept(self._kept)
        if kind in _OF_SOURCE and self._source is not None:
            made.set_source(self._source)
        if kind is views.ListView and self._thumbs is not None:
            made.set_thumbs(self._thumbs)
        if kind is views.CameraView:
            made.frozen.connect(self.still_frozen)
            made.wanted.connect(self.still_wanted)
            made.said.connect(self.still_said)
            if self._thumbs is not None:
                made.set_thumbs(self._thumbs)
        if kind is views.TargetView:
            made.wanted.connect(self.target_wanted)
            made.said.connect(self.target_said)
        self._stack.addWidget(made)
        screen: Screen = made
        self._screens[kind] = screen
        return screen

    def _on_cloth(self) -> None:
        """A cloth went over the glass: offer to wipe it, but never over first aid."""
        if not isinstance(self._view, views.FirstAidView | views.WipeView):
            self.sent.emit(Turn(page=Page.WIPE))


def _glass_for(glass: Glass, settings: Settings) -> Glass:
    """The same panel and guard, as a person has set it; its pictures are kept apart."""
    metrics = replace(glass.metrics, larger=settings.text == "larger", low=settings.reach == "low")
    return replace(
        glass,
        metrics=metrics,
        gallery=Gallery(),
        yes_left=settings.yes == "left",
        left_hand=settings.hand == "left",
        still=settings.motion == "still",
    )


def question_of(view: View) -> tuple[object, ...]:
    """What makes a view another question: its type, title and subject; not a notice, a counter or a moved mark."""
    return (type(view), view.title, *_subject(view))


def _subject(view: View) -> tuple[object, ...]:
    match view:
        case views.AskView():
            send = view.yes.send
            about = (send.piece, send.key) if isinstance(send, Answer) else (send,)
            return (*about, view.help, view.band.enter_from if view.band else "")
        case views.FindingView():
            return view.head.sub, view.lumen
        case views.DecisionView():
            return view.head.sub, view.said, view.band.lumen.name if view.band and view.band.lumen else ""
        case views.StepsView():
            return view.head.sub, view.now
        case views.CountView() | views.OverviewView() | views.HelpView() | views.ListView():
            return (view.page,)
        case views.PinView():
            return (view.person, view.ruling)
        case views.StopView():
            return view.head.sub, view.sentence
        case views.CameraView():
            return view.of.trip, view.of.piece, view.of.lumen, view.of.finding
        case views.StillsView():
            return view.today, view.known
        case views.TargetView():
            return (view.scope,)
        case views.NumberView():
            return (view.purpose,)
        case views.SecondLookView():
            return view.help, view.place
        case views.IdleView() | views.IntakeView():
            return view.number, tuple(key.name for key in (view.keys if isinstance(view, views.IntakeView) else ()))
        case views.ReadingView():
            return (view.picture,)
        case views.PictureView():
            return (view.page,)
        case views.SignInView():
            return tuple(key.name for key in view.people)
        case _:
            return ()

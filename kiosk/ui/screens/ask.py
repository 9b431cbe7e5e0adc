"""One question with its tube, and three answers: a check, the start-up, "was it covered?", "came out readable?"."""

from dataclasses import replace
from math import ceil

from PySide6.QtCore import QRectF, QTimer
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.core.commands import Answer
from kiosk.ui.parts import tube
from kiosk.ui.parts.answers import AnswerRow, ToGo
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.lines import fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.screens.screen import Screen
from kiosk.ui.theme import REGULAR, T

TICK_MS = 100  # how often the light front moves


class StepLines(Drawn):
    """Short lines in the band's place: what was, and what comes next; a center line where there are none."""

    def __init__(self, glass: Glass, steps: tuple[str, ...] = (), parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._steps = steps

    def show_steps(self, steps: tuple[str, ...]) -> None:
        self._steps = steps
        self.update()

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "plate")
        middle = self.height() / 2
        if not self._steps:
            tube.center_line(pen, 0, self.width(), middle)
            return
        metrics = self.glass.metrics
        left = pen.mm(metrics.left_mm + metrics.edge_mm)
        width = pen.mm(metrics.content_mm - 2 * metrics.edge_mm)
        step = self.height() / len(self._steps)
        sizes = ((T.T3, 1), (T.T2, 1), (T.T1, 2))
        ink = max(
            fit_lines(self.glass, each, QRectF(0, 0, width - pen.mm(12), step).size(), sizes, REGULAR).widths[0]
            for each in self._steps
        )
        left = max(left, (self.width() - ink) / 2 - pen.mm(6))
        for n, text in enumerate(self._steps):
            y = (n + 0.5) * step
            pen.solid("ink")
            pen.painter.drawEllipse(QRectF(left, y - pen.mm(1.2), pen.mm(2.4), pen.mm(2.4)))
            pen.text(QRectF(left + pen.mm(9), n * step, width - pen.mm(9), step), text, sizes, REGULAR, bg="plate")


class AskScreen(Screen):
    """The check screen. YES may sleep until the light has run through; NO and CAN'T TELL never wait."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._view: views.AskView | None = None
        self._since: int | None = None
        self.band: LumenBand | None = None
        self.steps: StepLines | None = None
        self.answers: AnswerRow | None = None
        self._ticks = QTimer(self)
        self._ticks.setInterval(TICK_MS)
        self._ticks.timeout.connect(self.refresh_front)

    def show_view(self, view: views.AskView) -> None:
        """Show a question. The look begins anew with a new question, and goes on when only a notice came."""
        before, self._view = self._view, view
        if before is None or before.no.send != view.no.send or self._since is None:
            self._since = self.glass.guard.clock()
        self.show_rails(view)
        self.show_question(view.title, view.help, view.facts, view.notice, keep_help=True)
        if before is None or self.answers is None or _shape(before) != _shape(view):
            self._build(view)
        else:
            self.answers.show_plates(view.no, view.yes, view.unsure)
        if self.band and view.band:
            self.band.show_band(view.band)
        if self.steps:
            self.steps.show_steps(view.steps)
        self.refresh_front()

    def refresh_front(self) -> None:
        """Move the light and the centimeters to go with the clock; wake YES when the light is through."""
        view, row = self._view, self.answers
        if view is None or row is None:
            return
        share = 1.0 if view.yes_opens_ms <= 0 else min(self.took_ms() / view.yes_opens_ms, 1.0)
        if share < 1.0:
            left = str(ceil(view.length_cm * (1 - share))) if view.length_cm else ""
            words, claim = view.to_go if left else "", view.opens or view.yes.claim
            row.set_yes_asleep(ToGo(number=left, words=words, share=share, claim=claim, note=view.keep_looking))
            if not self._ticks.isActive():
                self._ticks.start()
        elif self._ticks.isActive() or row.yes.asleep:
            self._ticks.stop()
            row.wake_yes()
        if self.band:
            moving = share < 1.0 and not self.glass.still
            self.band.set_front(share if moving else None, view.pace_words)

    def took_ms(self) -> int:
        """How long the question has been on the screen."""
        return 0 if self._since is None else self.glass.guard.clock() - self._since

    def begin(self) -> None:
        """The look begins with the question."""
        super().begin()
        self._since = self.glass.guard.clock()
        self.refresh_front()

    def hideEvent(self, event: QHideEvent) -> None:
        """A look that was broken off starts anew."""
        super().hideEvent(event)
        self._since = None
        self._ticks.stop()

    def _build(self, view: views.AskView) -> None:
        self.clear_slot()
        metrics = self.glass.metrics
        _, height = self.slot_mm
        answers = metrics.answers_mm
        band = metrics.band_mm if not metrics.small else min(metrics.band_mm, height - answers - 5.4)
        spare = height - band - answers
        self.band = self.steps = None
        if view.band is not None:
            self.band = LumenBand(self.glass)
            self.place_wide(self.band, 0, band)
        else:
            self.steps = StepLines(self.glass)
            self.place_wide(self.steps, 0, band)
        self.answers = AnswerRow(self.glass, view.no, view.yes, view.unsure)
        self.answers.answered.connect(self._on_answer)
        self.place(self.answers, 0, band + min(8.0, spare / 2), metrics.content_mm, answers)

    def _on_answer(self, _answer: str, send: object) -> None:
        view = self._view
        if view is not None and view.sends_pace and isinstance(send, Answer):
            send = replace(send, took_ms=self.took_ms())
        self.send(send)


def _shape(view: views.AskView) -> tuple[bool, bool]:
    """Which widgets a view needs: CAN'T TELL or not, the band or the steps."""
    return view.unsure is None, view.band is None

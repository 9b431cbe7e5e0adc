"""After the answer: today's still beside the known look, turned onto each other; outlines that are off at first."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt, Signal
from PySide6.QtGui import QColor, QImage, QPen, QPolygonF, QTransform
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.core.still import Compared, Outlined, Turned
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.lines import Choices, fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.doing import DoingScreen
from kiosk.ui.screens.photo import as_kept, read_picture
from kiosk.ui.theme import BOLD, REGULAR, T

NUMBER_MM = (11.0, 6.5)
LINE_MM = 0.35
SAID_PITCH = 1.35
_SAID: Choices = ((T.T2, 1), (T.T1, 1), (T.T1, 2), (T.T1, 3))


class ComparedPicture(Drawn):
    """A picture in its surround; the known one turned onto today's, today's with its outlines where they are on."""

    keeps_sides = True

    lies_on = "lens"

    def __init__(self, glass: Glass, image: QImage, words: str, compared: Compared | None) -> None:
        super().__init__(glass)
        self._image, self._compared = image, compared
        self._turned: Turned | None = None
        self._outlined: tuple[Outlined, ...] = ()
        self.setAccessibleName(words)

    def turn(self, turned: Turned | None) -> None:
        """Show it turned and scaled about the bore's axis, so that the same places stand at the same spots."""
        self._turned = turned
        self.update()

    def outline(self, outlined: tuple[Outlined, ...]) -> None:
        """Show these outlines with their numbers; () takes them away."""
        self._outlined = outlined
        self.update()

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "lens")
        image, compared = self._image, self._compared
        if image.isNull():
            return
        inside = self.area().adjusted(pen.mm(1), pen.mm(1), -pen.mm(1), -pen.mm(1))
        wide = compared.width if compared else image.width()
        high = wide * image.height() / image.width()
        scale = min(inside.width() / wide, inside.height() / high)
        box = QRectF(0, 0, wide * scale, high * scale)
        box.moveCenter(inside.center())
        painter = pen.painter
        painter.save()
        painter.setClipRect(box)
        painter.translate(box.topLeft())
        painter.scale(scale, scale)
        if self._turned is not None:
            painter.setTransform(onto(self._turned), True)
        painter.drawImage(QRectF(0, 0, wide, high), image)
        painter.restore()
        if compared is not None:
            self._draw_outlines(pen, compared, box, scale)

    def _draw_outlines(self, pen: Pen, compared: Compared, box: QRectF, scale: float) -> None:
        painter, thin = pen.painter, pen.mm(LINE_MM)
        left, top = box.left(), box.top()
        shapes = [
            QPolygonF([QPointF(left + scale * x, top + scale * y) for x, y in each.points]) for each in self._outlined
        ]
        painter.save()
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for color, wide in ((compared.dark, 3 * thin), (compared.light, thin)):
            painter.setPen(QPen(QColor(color), wide))
            for shape in shapes:
                painter.drawPolygon(shape)
        painter.restore()
        taken: list[QRectF] = []
        for shape, each in zip(shapes, self._outlined, strict=True):
            spot = self._spot(pen, shape.boundingRect(), box, taken)
            if spot is not None:
                taken.append(spot)
                pen.fill(spot, "lens")
                pen.text(spot, f"{each.difference:.1f}", T.T1, BOLD, fg="onrail", bg="lens", align="center")

    def _spot(self, pen: Pen, shape: QRectF, box: QRectF, taken: list[QRectF]) -> QRectF | None:
        """Where a number stands: at a corner of its outline, inside the picture and on no other number; or nowhere."""
        wide, high = (pen.mm(each) for each in NUMBER_MM)
        for corner in (
            QPointF(shape.right(), shape.top() - high),
            QPointF(shape.left() - wide, shape.top() - high),
            QPointF(shape.right(), shape.bottom()),
            QPointF(shape.left() - wide, shape.bottom()),
        ):
            spot = QRectF(corner.x(), corner.y(), wide, high)
            if box.contains(spot) and not any(spot.intersects(other) for other in taken):
                return spot
        return None


def onto(turned: Turned) -> QTransform:
    """The known picture's points to today's: about its own axis, then that axis laid on today's."""
    made = QTransform()
    made.translate(*turned.today)
    made.rotate(turned.turn_deg)
    made.scale(turned.scale, turned.scale)
    made.translate(-turned.known[0], -turned.known[1])
    return made


class CompareScreen(DoingScreen):
    """`wanted` asks for the comparing of two files (the second "" where there is no known look)."""

    wanted = Signal(str, str)

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._view: views.StillsView | None = None
        self._kept: Callable[[str], Path] = Path
        self._compared: Compared | None = None
        self._on = False
        self._made_of: object = None
        self.today: ComparedPicture | None = None
        self.known: ComparedPicture | None = None

    @property
    def outlines_on(self) -> bool:
        """Are outlines shown?"""
        return self._on

    def set_kept(self, kept: Callable[[str], Path]) -> None:
        """Where a kept picture lies, by its name."""
        self._kept = kept

    def show_view(self, view: views.StillsView) -> None:
        """Show both as they were taken; they are turned onto each other when that is reckoned."""
        before, self._view = self._view, view
        if before is None or (before.today, before.known) != (view.today, view.known):
            self._compared, self._on = None, False
        self._show()

    def begin(self) -> None:
        """Outlines are off at first, every time. Other pictures are another question: asked for here, once."""
        super().begin()
        self._on = False
        if self._view is not None and self._compared is None:
            self.wanted.emit(self._view.today, self._view.known)
        self._show()

    def show_compared(self, compared: Compared) -> None:
        """What came of the comparing, where it is of what is shown."""
        view = self._view
        if view is not None and (compared.today, compared.known) == (view.today, view.known):
            self._compared = compared
            self._show()

    def _show(self) -> None:
        view = self._view
        if view is None:
            return
        other = self.another(view, big=False)
        made_of = (self._compared, self._on, self.slot_mm)
        if other or made_of != self._made_of:
            self._made_of = made_of
            self.clear_slot()
            self._fill(view)

    def _fill(self, view: views.StillsView) -> None:
        width, height = self.slot_mm
        small = self.small
        edge, gap = self.glass.metrics.edge_mm, 4.0 if small else 6.0
        key = 18.0 if small else 24.0
        low = height - (2.5 if small else 6)
        wide = (width - 2 * edge - gap) / 2
        say = max(self._say_mm(words, wide) for words in (view.today_say, view.known_say))
        high = low - key - gap - say
        box = self.glass.mm(wide), self.glass.mm(high)
        self.today = self.known = None
        for n, (name, words) in enumerate(((view.today, view.today_say), (view.known, view.known_say))):
            x = edge + n * (wide + gap)
            said = Words(self.glass, words, size=_SAID, pitch=SAID_PITCH)
            self.place(said, x, 0, wide, say)
            if name and not (n and self._why_not(view)):
                picture = ComparedPicture(self.glass, self._image(name, box), words, self._compared)
                self.place(picture, x, say, wide, high)
                if n:
                    self.known = picture
                else:
                    self.today = picture
        self._fill_comparing(view)
        keys = []
        if self._compared is not None and self._compared.read:
            label = view.hide if self._on else view.show
            keys.append(KeyButton(self.glass, label, action="outlines", name="outlines"))
        if view.accept is not None:
            keys.append(self.key(view.accept))
        side = 52.0 if small else 62.0
        for n, made in enumerate(keys):
            self.place(made, width - edge - (len(keys) - n) * side - (len(keys) - 1 - n) * gap, low - key, side, key)
        room = width - 2 * edge - len(keys) * (side + gap)
        lines = "\n".join(line for line in (view.aid, self._said(view)) if line)
        sizes = ((T.T2, 2), (T.T2, 3), (T.T1, 3), (T.T1, 4))
        self.place(Words(self.glass, lines, size=sizes, weight=REGULAR, pitch=1.4), edge, low - key, room, key)

    def _say_mm(self, words: str, wide: float) -> float:
        """Height of what stands over a picture: a line more where its words ask for that."""
        usual = 9.0 if self.small else 12.0
        got = fit_lines(self.glass, words, QSizeF(self.glass.mm(wide), self.glass.mm(20)), _SAID, pitch=SAID_PITCH)
        return usual if len(got.lines) < 3 else (got.height + 2 * got.descent) / self.glass.mm(1) + 1

    def _fill_comparing(self, view: views.StillsView) -> None:
        compared = self._compared
        if compared is None:
            return
        if self.known is not None:
            self.known.turn(compared.turned)
        if self.today is not None and self._on:
            self.today.outline(compared.outlined)

    def _said(self, view: views.StillsView) -> str:
        """One sentence about the comparing, beside the one that it is an aid."""
        compared = self._compared
        if why := self._why_not(view):
            return why
        if compared is None:
            return view.working
        if not compared.read:
            return view.not_read
        if view.known and compared.turned is None:
            return view.no_fit
        return view.nothing if self._on and not compared.outlined else ""

    def _why_not(self, view: views.StillsView) -> str:
        """Why the known look is neither shown nor compared with: not here, or not what was accepted; "" where it is."""
        path = self._kept(view.known) if view.known else None
        if path is None or as_kept(path, view.known_sha256):
            return ""
        return view.not_accepted if path.is_file() else view.not_here

    def _image(self, name: str, box: tuple[float, float]) -> QImage:
        return read_picture(self._kept(name), QSizeF(*box) * 2)

    def _on_action(self, action: str, payload: object) -> None:
        if action == "outlines":
            self._on = not self._on
            self._show()
        else:
            super()._on_action(action, payload)

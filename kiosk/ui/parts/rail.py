"""The head rail tells where one is; only its notice may be touched. The hand rail holds the keys and the aid key."""

from collections.abc import Hashable
from itertools import product

from PySide6.QtCore import QRectF, QSizeF, Signal
from PySide6.QtGui import QFontMetricsF, QImage, QPainter, QResizeEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.lines import Choices, fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.rail_chip import BARE_MM, chip_fits, chip_mm, draw_chip
from kiosk.ui.parts.ring import draw_ring
from kiosk.ui.parts.touch import TouchGround
from kiosk.ui.theme import BOLD, REGULAR, T

STEP_MM, RING_MM, NOW_MM = 11.5, 6.1, 9.7
RINGS_LEAST, RINGS_MOST = 4, 10  # as the words at the left leave room
_SMALL_TITLE = ((T.T2, 1), (T.T1, 1), (T.T1, 2))
_TITLE = ((T.T3, 1), (T.T2, 1), (T.T1, 1))
CLOSE_PITCH = 1.25  # of two lines and more
UNDER_MM = 1.9  # for what hangs below the last line
AID_MM, LEAST_GAP_MM = 46.0, 4.0


class HeadRail(Drawn):
    """Tray and piece; a ring for every lumen; person, bench and time. A notice always with a triangle and words."""

    lies_on = "rail"

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._head, self._clock = views.Head(title=""), ""
        self._chip = (QRectF(), "")

    def show_head(self, head: views.Head, clock: str) -> None:
        self._head, self._clock = head, clock
        self.update()

    def look(self) -> Hashable:
        return (self._head, self._clock)

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "rail")
        if pen.glass.tokens.rail_edge != pen.glass.tokens.rail:
            pen.solid("rail_edge")
            pen.painter.drawRect(QRectF(0, self.height() - pen.mm(0.4), self.width(), pen.mm(0.4)))
        metrics = self.glass.metrics
        left = metrics.left_mm + metrics.edge_mm
        room = pen.box(left, 0, metrics.content_mm - 2 * metrics.edge_mm, metrics.head_mm)
        (self._draw_small if metrics.small else self._draw_large)(pen, room)

    def _draw_large(self, pen: Pen, room: QRectF) -> None:
        head = self._head
        half = room.width() / 2
        chain = self._draw_rings(pen, room) if head.rings else QRectF(room.center(), room.center())
        left = QRectF(
            room.left(), 0, (chain.left() if head.rings else room.center().x()) - room.left() - pen.mm(4), room.height()
        )
        one = QFontMetricsF(pen.glass.font(T.T1)).horizontalAdvance(head.sub) <= left.width()
        if head.sub and not one:
            first, under = _line(left, 0.07, 0.31), _line(left, 0.372, 0.93)
            pen.text(first, head.title, _TITLE[2:], BOLD, fg="onrail", bg="rail", up="top", shorten=True)
            lines, pitch = ((T.T1, 2),), CLOSE_PITCH
            pen.text(under, head.sub, lines, fg="onrail2", bg="rail", up="top", pitch=pitch, shorten=True)
        elif head.sub:
            pen.text(_line(left, 0.09, 0.57), head.title, _TITLE, BOLD, fg="onrail", bg="rail", shorten=True)
            pen.text(_line(left, 0.53, 0.98), head.sub, T.T1, fg="onrail2", bg="rail", shorten=True)
        else:
            pen.text(left, head.title, _TITLE, BOLD, fg="onrail", bg="rail", shorten=True)
        right = QRectF(room.right() - half + pen.mm(AID_MM / 2), 0, half - pen.mm(AID_MM / 2), room.height())
        lower = "   ".join(part for part in (head.bench, self._clock) if part)
        if head.who:
            name = pen.text(
                _line(right, 0.09, 0.57), head.who, ((T.T3, 1), (T.T2, 1)), BOLD, fg="onrail", bg="rail", align="right"
            )
            when = pen.text(_line(right, 0.53, 0.98), lower, T.T1, fg="onrail2", bg="rail", align="right")
            taken = name.united(when)
        else:
            taken = pen.text(right, lower, T.T2, fg="onrail2", bg="rail", align="right")
        if head.notice:
            self._stand_chip(pen, chain.right() + pen.mm(3), taken.left() - pen.mm(4))

    def _draw_small(self, pen: Pen, room: QRectF) -> None:
        """One line. Person, piece and lumen always stand; the rest gives way: the count, the notice, the tray."""
        say, title, notice = self._fitting(room)
        when = pen.text(room, say, T.T2, fg="onrail2", bg="rail", align="right")
        right = (when.left() if say else room.right()) - pen.mm(3)
        if self._head.notice:
            wide = pen.mm(chip_mm(self.glass, notice))
            self._draw_chip(pen, QRectF(right - wide, pen.mm(1), wide, room.height() - pen.mm(2)), notice)
            right -= wide + pen.mm(3)
        left = QRectF(room.left(), 0, right - room.left(), room.height())
        sizes: Choices = _SMALL_TITLE[:2]  # on one line, where it stands there
        if not fit_lines(self.glass, title, left.size(), sizes, BOLD).fits:
            left.adjust(0, pen.mm(0.8), 0, -pen.mm(UNDER_MM - 0.8))
            sizes = _SMALL_TITLE
        pen.text(left, title, sizes, BOLD, fg="onrail", bg="rail", pitch=CLOSE_PITCH, shorten=True)

    def _fitting(self, room: QRectF) -> tuple[str, str, str]:
        """What stands at the right, the title, and the words of the notice ("" its triangle alone)."""
        head, box = self._head, QSizeF(room.width(), room.height())
        count = head.of or head.now
        parts = ((head.who, count, self._clock), (head.who, self._clock), (head.who or self._clock,))
        every, timed, bare = ("   ".join(part for part in each if part) for each in parts)
        short = head.notice_short or head.notice
        steps = [(every, head.notice), (timed, head.notice), (every, short), (timed, short), (bare, short)]
        if head.notice:
            steps[4:] = [(timed, ""), (bare, short), (bare, "")]
        full = head.short or head.title
        tries: list[tuple[str, tuple[str, str], Choices]] = [(full, each, _SMALL_TITLE[:2]) for each in steps[:2]]
        tries += [(title, each, _SMALL_TITLE) for title, each in product((full, head.least or full), steps)]
        for title, (say, notice), sizes in tries:
            taken = max(fit_lines(self.glass, say, box, ((T.T2, 1),)).widths, default=0.0) + self.glass.mm(3)
            taken += self.glass.mm(chip_mm(self.glass, notice) + 3) if head.notice else 0.0
            rest = QSizeF(room.width() - taken, room.height() - self.glass.mm(UNDER_MM))
            if fit_lines(self.glass, title, rest, sizes, BOLD, pitch=CLOSE_PITCH).fits:
                return say, title, notice
        return bare, head.least or full, ""

    def _stand_chip(self, pen: Pen, left: float, right: float) -> None:
        """The notice against the right end of its room, in as many words as stand there."""
        head, room = self._head, (right - left) / pen.mm(1)
        tries = [words for words in (head.notice, head.notice_short) if words]
        words = next((each for each in tries if chip_fits(self.glass, each, room)), "")
        wide = pen.mm(min(chip_mm(self.glass, words), room)) if words else pen.mm(BARE_MM)
        self._draw_chip(pen, QRectF(right - wide, pen.mm(1), wide, self.height() - pen.mm(2)), words)

    def _draw_chip(self, pen: Pen, room: QRectF, words: str) -> None:
        self._chip = (room, words)
        if self._head.about is None:
            draw_chip(pen, room, words)

    def chip(self) -> tuple[QRectF, str] | None:
        """Where a notice that can be touched stands, and in which words; it is drawn by its own key."""
        if self._head.about is None or not self._head.notice or self.isHidden():
            return None
        canvas = QImage(1, 1, QImage.Format.Format_RGB32)
        with QPainter(canvas) as painter:
            self.draw(Pen(painter, self.glass))
        return self._chip

    def _draw_rings(self, pen: Pen, room: QRectF) -> QRectF:
        """The chain of rings on its line, in the middle; as many as fit around the one being looked at."""
        rings = self._head.rings
        now = next((n for n, ring in enumerate(rings) if ring == "now"), 0)
        wide = max(
            QFontMetricsF(pen.glass.font(T.T2, BOLD)).horizontalAdvance(self._head.title),
            QFontMetricsF(pen.glass.font(T.T1)).horizontalAdvance(self._head.sub),
        )
        free = room.width() - 2 * (wide + pen.mm(RING_MM + 16))
        most = min(max(int(free / pen.mm(STEP_MM)) + 1, RINGS_LEAST), RINGS_MOST)
        first = min(max(0, now - most // 2), max(0, len(rings) - most))
        shown = rings[first : first + most]
        step, y = pen.mm(STEP_MM), room.center().y()
        left = room.center().x() - step * (len(shown) - 1) / 2
        reach = pen.mm(RING_MM / 2 + 4.8)
        pen.stroke("onrail2", 0.3)
        edge = left - reach
        for n, ring in enumerate(shown):
            half = pen.mm({"now": NOW_MM, "todo": 3.4}.get(ring, RING_MM + 0.6)) / 2
            pen.line(edge, y, left + n * step - half, y)
            edge = left + n * step + half
        end = left + (len(shown) - 1) * step + reach
        pen.line(edge, y, end, y)
        for n, ring in enumerate(shown):
            side = pen.mm(NOW_MM if ring == "now" else RING_MM)
            rect = QRectF(left + n * step - side / 2, y - side / 2, side, side)
            draw_ring(pen, rect, ring, fg="onrail" if ring != "todo" else "onrail2", hole="rail", number=self._head.now)
        of = QRectF(end + pen.mm(3), 0, pen.mm(20), room.height())
        words = pen.text(of, self._head.of, T.T1, fg="onrail2", bg="rail")
        return QRectF(left - reach, 0, max(end, words.right()) - left + reach, room.height())


def _line(room: QRectF, top: float, bottom: float) -> QRectF:
    return QRectF(room.left(), room.height() * top, room.width(), room.height() * (bottom - top))


class HandRail(TouchGround):
    """Keys left and right, the aid key dead center. The groups may change sides; the aid key never moves."""

    tapped_action = Signal(str, object)

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._hand, self._words = views.Hand(), ""
        self.keys: list[KeyButton] = []
        self._free = QRectF()

    def show_hand(self, hand: views.Hand, *, words: str = "") -> None:
        """Show a view's keys; `words` stand beside the right group, to say what opens a key that is not there yet."""
        self._hand, self._words = hand, words
        for key in self.keys:
            key.hide()
            key.deleteLater()
        aid = KeyButton(
            self.glass, hand.aid, icon="aid", kind="aid", action="aid", name="aid", ground="bench", parent=self
        )
        self.keys = [aid]
        for each in (*hand.left, *hand.right):
            key = KeyButton.of(self.glass, each, ground="bench")
            key.setParent(self)
            self.keys.append(key)
        for key in self.keys:
            key.tapped_action.connect(self.tapped_action)
            key.show()
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        if not self.keys:
            return
        metrics, mm = self.glass.metrics, self.glass.mm
        top = (metrics.hand_mm - metrics.key_mm) / 2
        middle = metrics.width_mm / 2
        half = max(AID_MM, self.keys[0].natural_mm()) / 2
        self._put(self.keys[0], middle - half, top, 2 * half)
        first, last = metrics.left_mm + metrics.edge_mm, metrics.left_mm + metrics.content_mm - metrics.edge_mm
        left = self.keys[1 : 1 + len(self._hand.left)]
        right = self.keys[1 + len(self._hand.left) :]
        if self.glass.left_hand:
            left, right = right[::-1], left[::-1]
        room = middle - half - first - LEAST_GAP_MM
        x = first
        for key, wide, gap in self._widths(left, room):
            self._put(key, x, top, wide)
            x += wide + gap
        x = last
        for key, wide, gap in self._widths(right[::-1], room):
            x -= wide
            self._put(key, x, top, wide)
            x -= gap
        start = middle + half + LEAST_GAP_MM
        self._free = QRectF(mm(start), mm(top), max(0.0, mm(x - start)), mm(self.glass.metrics.key_mm))
        self.update()

    def _widths(self, keys: list[KeyButton], room: float) -> list[tuple[KeyButton, float, float]]:
        """Every key with its width and the gap after it in mm: as wide as its words ask, if there is room."""
        wide = [max(key.natural_mm(), 36.0) for key in keys]
        gap = self.glass.metrics.gap_mm
        if sum(wide) + gap * (len(keys) - 1) > room:
            wide, gap = [key.natural_mm() for key in keys], LEAST_GAP_MM
        over = sum(wide) + gap * (len(keys) - 1) - room
        if over > 0:  # its words say what a key does; without them an icon says little
            for key in keys:
                key.icon = "" if key.label else key.icon
            wide = [key.natural_mm() for key in keys]
            over = sum(wide) + gap * (len(keys) - 1) - room
        if over > 0:
            wide = [each - over * each / sum(wide) for each in wide]
        return [(key, each, gap) for key, each in zip(keys, wide, strict=True)]

    def _put(self, key: KeyButton, x: float, y: float, wide: float) -> None:
        mm = self.glass.mm
        key.setGeometry(round(mm(x)), round(mm(y)), round(mm(wide)), round(mm(self.glass.metrics.key_mm)))

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "bench")
        if self._words:
            pen.text(
                self._free,
                self._words,
                ((T.T2, 2), (T.T1, 2)),
                REGULAR,
                fg="ink2",
                bg="bench",
                align="right",
                pitch=1.7,
            )

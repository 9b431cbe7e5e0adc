"""Weight, indicators and packaging side by side; what is said by packing it; the key that prints."""

from PySide6.QtCore import QRectF

from kiosk.core import views
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.icons import draw_icon
from kiosk.ui.parts.lines import Choices, fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.doing import DoingScreen
from kiosk.ui.theme import BOLD, REGULAR, T

KEYS_MM, KEYS_SMALL_MM = 17.0, 11.0  # where the keys begin on a plate, below its title


class Column(Drawn):
    """A plate with a title, a value, and a warning where there is one; keys lie on it."""

    def __init__(self, glass: Glass, title: str, value: str = "", warning: str = "") -> None:
        super().__init__(glass)
        self._title, self._value, self._warning = title, value, warning

    def draw(self, pen: Pen) -> None:
        small = self.glass.metrics.small
        pen.plate(self.area(), "well", outside="field")
        pad = pen.mm(3.0 if small else 6.0)
        head = QRectF(pad, pen.mm(2.6 if small else 5), self.width() - 2 * pad, pen.mm(6.5 if small else 8))
        sizes: Choices = ((T.T3, 1), (T.T2, 1), (T.T1, 1))
        if small and not fit_lines(self.glass, self._title, head.size(), sizes).fits:
            sizes = ((T.T1, 2),)
            head.setTop(pen.mm(1.4))
            head.setBottom(pen.mm(KEYS_SMALL_MM - 1.2))
        title = pen.text(head, self._title, sizes, REGULAR, fg="ink2", bg="well", pitch=1.3)
        if small and self._value and self._warning:
            beside = QRectF(title.right() + pen.mm(3), head.top(), 0, pen.mm(8.2))  # two weights take two lines
            beside.setRight(head.right())
            pen.text(
                beside,
                self._value,
                ((T.T3, 1), (T.T2, 1), (T.T1, 1), (T.T1, 2)),
                BOLD,
                bg="well",
                align="right",
                pitch=1.3,
            )
        elif self._value:
            value = QRectF(pad, head.bottom() + pen.mm(1 if small else 2), head.width(), pen.mm(11))
            pen.text(value, self._value, ((T.T6, 1), (T.T5, 1), (T.T4, 1), (T.T3, 1)), BOLD, bg="well")
        if self._warning:
            self._draw_warning(pen, pad, small=small)

    def _draw_warning(self, pen: Pen, pad: float, *, small: bool) -> None:
        """On yellow, with a triangle, over the key."""
        top = pen.mm(11 if small else 28)
        room = QRectF(pad, top, self.width() - 2 * pad, self.height() - top - pen.mm(18 + (6 if small else 12)))
        pen.plate(room, "notice", outside="well")
        icon = QRectF(room.left() + pen.mm(2), room.top(), pen.mm(6 if small else 9), room.height())
        draw_icon(pen.painter, "warning", icon, pen.color("on_notice"), pen.color("notice"))
        words = room.adjusted(pen.mm(10 if small else 14), pen.mm(1), -pen.mm(2), -pen.mm(1))
        pitch = 1.4
        pen.text(
            words,
            self._warning,
            ((T.T2, 4), (T.T1, 4), (T.T1, 6)),
            BOLD,
            fg="on_notice",
            bg="notice",
            pitch=pitch,
        )


class PackScreen(DoingScreen):
    """One page; what is chosen stays marked."""

    def show_view(self, view: views.PackView) -> None:
        """Show what is packed so far."""
        if self.another(view):
            self._fill(view)

    def _fill(self, view: views.PackView) -> None:
        width, height = self.slot_mm
        metrics, small = self.glass.metrics, self.small
        low = height - (2.5 if small else 5)
        tall = 22.0 if small else 34.0
        deep = low - tall - (3 if small else 6)
        gap = 4.0 if small else 8.0
        shares = [0.92, 0.86, 1.32] if small else [1.0, 1.0, 1.0]
        if not view.weight_title:
            shares = shares[1:]
        wide = [(width - 2 * metrics.edge_mm - gap * (len(shares) - 1)) * each / sum(shares) for each in shares]
        x = metrics.edge_mm
        if view.weight_title:
            column = Column(self.glass, view.weight_title, view.weight, view.weight_warning)
            self.place(column, x, 1, wide[0], deep - 1)
            if view.weigh:
                pad = 3.0 if small else 6.0
                high = 18.0 if small else 22.0
                key = self.key(view.weigh, ground="well")
                self.place(key, x + pad, deep - high - pad, wide[0] - 2 * pad, high)
            x += wide[0] + gap
        chosen = "" if view.placed is None else str(view.placed)
        self._choices(x, wide[-2], deep, view.indicator_title, view.indicators, chosen)
        x += wide[-2] + gap
        self._choices(x, wide[-1], deep, view.packaging_title, view.packaging, view.chosen)
        main = 82.0 if small else 116.0
        left = width - metrics.edge_mm - main
        if view.main:
            self.place(self.key(view.main, size=T.T3), left, low - tall, main, tall)
        else:
            wait = Words(self.glass, view.wait, size=((T.T3, 2), (T.T2, 2)), fg="ink2", align="center")
            self.place(wait, left, low - tall, main, tall)
        sizes = ((T.T3, 2), (T.T2, 3), (T.T1, 3)) if small else ((T.T4, 2), (T.T3, 3), (T.T2, 3))
        saying = Words(self.glass, view.saying, size=sizes, weight=BOLD, pitch=1.55)
        self.place(saying, metrics.edge_mm, low - tall, left - metrics.edge_mm - gap, tall)

    def _choices(
        self, x: float, wide: float, deep: float, title: str, keys: tuple[views.Key, ...], chosen: str
    ) -> None:
        """A plate with its keys in two columns; the chosen one by its name or its label."""
        self.place(Column(self.glass, title), x, 1, wide, deep - 1)
        pad, gap = (3.0, 4.0) if self.small else (6.0, 6.0)
        columns = 1 if len(keys) == 1 else 2
        rows = max(1, -(-len(keys) // columns))
        top = KEYS_SMALL_MM if self.small else KEYS_MM
        across = (wide - 2 * pad - gap * (columns - 1)) / columns
        high = min((deep - top - pad - gap * (rows - 1)) / rows, 22.0 if self.small else 28.0)
        for n, each in enumerate(keys):
            key = self.key(each, chosen=chosen != "" and chosen in (each.name, each.label), ground="well", size=T.T2)
            y = deep - pad - (rows - n // columns) * (high + gap) + gap
            self.place(key, x + pad + n % columns * (across + gap), y, across, high)

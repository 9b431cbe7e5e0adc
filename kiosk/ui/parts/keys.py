"""Keys: a plate with an edge, an icon, and one or two words a line."""

from collections.abc import Hashable

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFontMetricsF, QPolygonF
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.icons import ICONS, draw_icon
from kiosk.ui.parts.lines import Choices, fit_lines, wrap
from kiosk.ui.parts.pen import Pen, Side
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.theme import BOLD, T, font

PAD_MM, BARE_PAD_MM, ICON_MM, ICON_GAP_MM = 3.3, 2.2, 10.0, 2.2
WIDE_ICON_MM = 13.0  # on keys 24 mm high and more
SMALL_PAD_MM, SMALL_ICON_MM, SMALL_GAP_MM = 2.4, 8.0, 1.8  # on the 10-inch screen
ONE_LINE_MM = 28.0  # a longer label goes on two lines, where the key's width is its own choice


class KeyButton(TouchButton):
    """A key. `tone` "found" marks a chosen finding; "ink" everything else. `ground` is what it lies on."""

    def __init__(
        self,
        glass: Glass,
        label: str,
        *,
        icon: str = "",
        icon_right: bool = False,
        kind: str = "plain",
        action: str = "",
        payload: object = None,
        chosen: bool = False,
        name: str = "",
        size: T = T.T2,
        tone: str = "ink",
        ground: str = "field",
        repeats: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(glass, action, payload, repeats=repeats, parent=parent)
        self.label, self.icon, self.icon_right, self.kind = label, icon if icon in ICONS else "", icon_right, kind
        self.chosen, self.size_token, self.tone, self.ground = chosen, size, tone, ground
        self.setObjectName(name or action or label)
        self.setAccessibleName(label)

    @classmethod
    def of(
        cls, glass: Glass, key: views.Key, *, ground: str = "field", size: T = T.T2, chosen: bool = False
    ) -> "KeyButton":
        """The key that a view asks for; its payload is what the view's key sends."""
        return cls(
            glass,
            key.label,
            icon=key.icon,
            kind=key.kind,
            action=key.name or "send",
            payload=key.send,
            name=key.name,
            chosen=chosen,
            size=T.T3 if key.kind == "main" and size is T.T2 else size,
            ground=ground,
        )

    def set_label(self, label: str) -> None:
        self.label = label
        self.setAccessibleName(label)
        self.update()

    def set_chosen(self, chosen: bool) -> None:
        self.chosen = chosen
        self.update()

    def natural_mm(self) -> float:
        """The width its label asks for, on two lines if it is long, in whole steps of 2 mm."""
        metrics = QFontMetricsF(font(self.glass.metrics.tries(self.size_token)[0], BOLD))
        width = max(map(metrics.horizontalAdvance, self.label.split("\n")))
        if width > self.glass.mm(ONE_LINE_MM * (1.8 if self.kind == "main" else 1)) and " " in self.label:
            tries = (wrap(self.label, metrics, width * share) for share in (0.5, 0.6, 0.7, 0.8, 0.9, 1))
            lines = next((lines for lines in tries if len(lines) <= 2), (self.label,))
            width = max(map(metrics.horizontalAdvance, lines))
        text = width / self.glass.mm(1)
        pad, side, gap = self._measures()
        return max(20.0, 2 * -(-(text + (side + gap if self.icon else 0.0) + 2 * pad) // 2))

    def look(self) -> Hashable:
        states = (self.pressed, self.awake, self.asleep, self.chosen, self.role)
        return (self.label, self.icon, self.icon_right, self.kind, self.size_token, self.tone, self.ground, *states)

    def draw(self, pen: Pen) -> None:
        fill, edge, words, mark, edge_mm = self._colors()
        pen.plate(self.area(), fill, edge, edge_mm=edge_mm, outside=self.ground)
        if self.chosen and self.tone == "found":
            self._corner(pen)
        pad = pen.mm(self._measures()[0] if self.icon else BARE_PAD_MM)
        rest = self.area().adjusted(pad, pen.mm(1.2), -pad, -pen.mm(1.2))
        if self.icon:
            rest = self._draw_icon(pen, rest, mark, fill, high=self.height() >= pen.mm(24))
        align: Side = "left" if self.role == "row" or (self.icon and not self.icon_right) else "center"
        room, choices, pitch = self._fitting(pen, rest)
        pen.text(room, self.label, choices, BOLD, fg=words, bg=fill, align=align, pitch=pitch)

    def _fitting(self, pen: Pen, rest: QRectF) -> tuple[QRectF, Choices, float]:
        """Room, sizes and pitch of the label; three lines and more keep further from the border."""
        inner = rest.adjusted(0, pen.mm(0.6), 0, -pen.mm(1.6))
        for room, most in ((rest, 2), (inner, 9)):
            for pitch in (1.7, 1.38) if most < 3 else (1.38, 1.25):
                lines = max(1, int((room.height() / pen.mm(self.glass.metrics.capital(T.T2)) - 1) / pitch) + 1)
                sizes = tuple(size for size in (T.T4, T.T3, T.T2) if size.value < self.size_token.value)
                choices: Choices = tuple((size, min(lines, most)) for size in (self.size_token, *sizes))
                if fit_lines(self.glass, self.label, room.size(), choices, BOLD, pitch=pitch).fits:
                    return room, choices, pitch
        return inner, (*choices, (T.T1, lines + 1)), pitch  # a name with a word wider than the key

    def _measures(self) -> tuple[float, float, float]:
        """Padding, icon and the gap behind it, in mm."""
        if self.glass.metrics.small:
            return SMALL_PAD_MM, SMALL_ICON_MM, SMALL_GAP_MM
        return PAD_MM, ICON_MM, ICON_GAP_MM

    def _colors(self) -> tuple[str, str, str, str, float]:
        """Fill, edge, words, icon, edge width."""
        if self.pressed and self.kind == "main":
            return "plate", "ink", "ink", "ink", 0.6
        if self.pressed:
            dark = "found" if self.tone == "found" else "ink"
            return dark, dark, "on_fill", "on_fill", 0.6
        if self.kind == "aid":
            return "aid", "aid_edge", "on_aid", "on_aid", 0.6
        if self.asleep:
            return "asleep", "", "ink2", "ink2", 0.6
        if self.kind == "main":
            return "ink", "ink", "on_fill", "on_fill", 0.6
        if self.chosen and self.tone == "found":
            return "found_tint", "found_edge" if self.awake else "", "ink", "found", 1.2
        if self.chosen:
            return "plate", "ink", "ink", "ink", 1.4
        fill = self.ground if self.kind == "quiet" else "plate"
        return fill, "line" if self.awake else "", "ink", "ink", 0.6

    def _draw_icon(self, pen: Pen, rest: QRectF, mark: str, fill: str, *, high: bool) -> QRectF:
        """The icon, and the room it leaves."""
        _, side_mm, gap_mm = self._measures()
        roomy = high and self.width() > pen.mm(44)
        side = pen.mm(WIDE_ICON_MM if roomy else side_mm)
        gap = pen.mm(gap_mm * (1.6 if roomy else 1))
        side = min(side, rest.height())
        if not self.label:
            draw_icon(pen.painter, self.icon, rest, pen.color(mark), pen.color(fill))
            return rest
        if high and self.width() > pen.mm(52) and not self.icon_right:
            rest = rest.adjusted(pen.mm(2.6), 0, 0, 0)
        left = rest.right() - side if self.icon_right else rest.left()
        box = QRectF(left, rest.top(), side, rest.height())
        draw_icon(pen.painter, self.icon, box, pen.color(mark), pen.color(fill))
        return rest.adjusted(0, 0, -side - gap, 0) if self.icon_right else rest.adjusted(side + gap, 0, 0, 0)

    def _corner(self, pen: Pen) -> None:
        """A filled corner: chosen, also where color is lost."""
        area = self.area().adjusted(0, pen.mm(0.6), -pen.mm(0.6), 0)
        side = pen.mm(8)
        corner = area.topRight()
        pen.solid("found")
        pen.painter.drawPolygon(QPolygonF([corner, corner - QPointF(side, 0), corner + QPointF(0, side)]))

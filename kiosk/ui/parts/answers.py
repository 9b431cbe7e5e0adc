"""The three answers: a blocked outline for NO, a hidden line for CAN'T TELL, an open tube for YES."""

from collections.abc import Hashable
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QPointF, QRectF, QSizeF, Signal
from PySide6.QtGui import QPainterPath, QPolygonF, QResizeEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.lines import Choices, fit_lines
from kiosk.ui.parts.pen import Pen, Side
from kiosk.ui.parts.ring import draw_ring, draw_to_go
from kiosk.ui.parts.touch import TouchButton, TouchGround
from kiosk.ui.theme import BOLD, EXTRA, REGULAR, T

Answer = Literal["no", "unsure", "yes"]
EDGE_MM, CUT_MM = 1.0, 9.0
TIGHT = 1.4  # line pitch on the plates, in capitals
_CLAIM: Choices = ((T.T4, 2), (T.T3, 2), (T.T2, 2))
_CLAIM_SMALL: Choices = ((T.T3, 2), (T.T2, 2), (T.T2, 4), (T.T1, 4))  # the last for a word wider than the plate
_RING: dict[Answer, views.Ring] = {"no": "found", "unsure": "unsure", "yes": "clear"}
_FAMILY = {"no": "found", "unsure": "unsure", "yes": "clear"}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sizes:
    """Measures of the plates in mm."""

    main: float
    middle: float
    height: float
    gap: float
    ring_left: float
    ring: float
    text_left: float
    middle_ring: float
    middle_ring_y: float
    plain_side: float


_LARGE = _Sizes(
    main=128,
    middle=56,
    height=62,
    gap=8,
    ring_left=12.2,
    ring=38,
    text_left=58.3,
    middle_ring=23,
    middle_ring_y=18.3,
    plain_side=14,
)
_SMALL = _Sizes(
    main=78,
    middle=39,
    height=46,
    gap=6,
    ring_left=7.5,
    ring=27,
    text_left=39,
    middle_ring=17,
    middle_ring_y=14.1,
    plain_side=9,
)
_LOW = _Sizes(
    main=128,
    middle=56,
    height=36,
    gap=8,
    ring_left=9.0,
    ring=25,
    text_left=43,
    middle_ring=14,
    middle_ring_y=10.6,
    plain_side=14,
)
_LOW_SMALL = _Sizes(
    main=78,
    middle=39,
    height=27,
    gap=6,
    ring_left=6.5,
    ring=17,
    text_left=28,
    middle_ring=10,
    middle_ring_y=7.4,
    plain_side=9,
)


def low_mm(glass: Glass) -> float:
    """Height of a row of low plates: as wide and as far apart as ever, where a picture needs the room above them.

    Only for what no tray waits on: they are keys by their size, as those of a second look are, not answers of a check.
    """
    return (_LOW_SMALL if glass.metrics.small else _LOW).height


@dataclass(frozen=True, slots=True, kw_only=True)
class ToGo:
    """What a sleeping YES says: "10" "cm to go", the share done, and its words meanwhile."""

    number: str
    words: str
    share: float
    claim: str
    note: str = ""


_MIDDLE_LOW: Choices = ((T.T3, 1), (T.T2, 1), (T.T2, 2))
_MIDDLE_NOTE: Choices = ((T.T2, 2), (T.T1, 2), (T.T1, 3))
_LOW_WORD: Choices = ((T.T6, 1), (T.T5, 1), (T.T4, 1))


def _sizes(glass: Glass, *, low: bool) -> _Sizes:
    if low:
        return _LOW_SMALL if glass.metrics.small else _LOW
    return _SMALL if glass.metrics.small else _LARGE


class AnswerPlate(TouchButton):
    """One answer. It can sleep (YES only), be pressed, or stand filled as the answer given.

    `ringed` False: no lumen is meant (a paper, a clock), so no hole is drawn and the words stand in the middle.
    """

    keeps_sides = True

    role = "answer"
    lies_on = "field"

    def __init__(
        self,
        glass: Glass,
        answer: Answer,
        plate: views.Plate,
        parent: QWidget | None = None,
        *,
        low: bool = False,
        ringed: bool = True,
    ) -> None:
        super().__init__(glass, answer, plate.send, parent=parent)
        self.low, self.ringed = low, ringed
        self.answer: Answer = answer
        self.plate = plate
        self.answered = False
        self.to_go: ToGo | None = None
        self.claim_sizes = _CLAIM_SMALL if glass.metrics.small else _CLAIM
        self._sizes = _sizes(glass, low=low)
        self.role = "key" if low else "unsure" if answer == "unsure" else "answer"
        self.setObjectName(answer)
        self.setAccessibleName(plate.word)

    def claim_room(self) -> QSizeF:
        """Where the claim stands, in px."""
        left, right = self._sides()
        return QSizeF(self.width() - self.glass.mm(left + right), self.height() / 2)

    def _sides(self) -> tuple[float, float]:
        """What lies left and right of the words, mm."""
        if not self.ringed:
            return self._sizes.plain_side, self._sizes.plain_side
        return self._sizes.text_left, 4.5 if self.answer == "yes" else 4.0

    def outline(self) -> QPainterPath:
        """The silhouette, inside of which its edge is drawn."""
        half = self.glass.mm(EDGE_MM) / 2
        rect = self.area().adjusted(half, half, -half, -half)
        path = QPainterPath()
        if self.answer == "yes":
            path.addRoundedRect(rect, rect.height() / 2, rect.height() / 2)
        elif self.answer == "unsure":
            path.addRoundedRect(rect, self.glass.mm(2), self.glass.mm(2))
        else:
            cut = self.glass.mm(CUT_MM if not self.glass.metrics.small else 7.0)
            (x1, y1, x2, y2) = (rect.left(), rect.top(), rect.right(), rect.bottom())
            corners = [(x1 + cut, y1), (x2 - cut, y1), (x2, y1 + cut), (x2, y2 - cut)]
            corners += [(x2 - cut, y2), (x1 + cut, y2), (x1, y2 - cut), (x1, y1 + cut)]
            path.addPolygon(QPolygonF([QPointF(*corner) for corner in corners]))
            path.closeSubpath()
        return path

    def show_plate(self, plate: views.Plate) -> None:
        """Ask another question with the same plate."""
        self.plate, self.to_go, self.answered = plate, None, False
        self.claim_sizes = _CLAIM_SMALL if self.glass.metrics.small else _CLAIM
        self.set_payload(plate.send)
        self.setAccessibleName(plate.word)
        self.set_asleep(False)

    def look(self) -> Hashable | None:
        if self.asleep:
            return None
        words = (self.plate.word, self.plate.claim, self.plate.note, self.claim_sizes)
        return (self.answer, self.low, self.ringed, *words, self.pressed, self.awake, self.answered)

    def draw(self, pen: Pen) -> None:
        family = _FAMILY[self.answer]
        filled = self.pressed or self.answered
        fill, edge = f"{family}_tint", "unsure" if self.answer == "unsure" else f"{family}_edge"
        if filled:
            fill = edge = family
        elif self.asleep:
            fill, edge = "asleep", ""
        elif not self.awake:
            edge = ""
        dash = [4.0, 2.3] if self.answer == "unsure" and not filled else None
        pen.shape(self.outline(), fill, edge, edge_mm=EDGE_MM, outside="field", dash=dash)
        if self.answer == "unsure":
            self._draw_middle(pen, fill, filled)
        else:
            self._draw_main(pen, fill, filled)

    def _draw_main(self, pen: Pen, fill: str, filled: bool) -> None:
        sizes, family, to_go = self._sizes, _FAMILY[self.answer], self.to_go if self.asleep else None
        mm = self.height() / sizes.height / pen.mm(1)  # plates taller than usual keep their middle
        ring = pen.box(sizes.ring_left, (sizes.height * mm - sizes.ring) / 2, sizes.ring, sizes.ring)
        if to_go is None and self.ringed:
            draw_ring(
                pen, ring, _RING[self.answer], fg="on_fill" if filled else family, hole=fill if filled else "plate"
            )
        elif to_go is not None:
            self._draw_to_go(pen, ring, to_go)
        claim, note = (to_go.claim, to_go.note) if to_go else (self.plate.claim, self.plate.note)
        words = "on_fill" if filled else "ink"
        big = "on_fill" if filled else "ink2" if self.asleep else family
        left, right = map(pen.mm, self._sides())
        room = QRectF(left, 0, self.width() - left - right, self.height())
        small = self.glass.metrics.small or self.low
        rows: list[tuple[str, Choices, int, str]] = [
            (self.plate.word, _LOW_WORD if self.low else ((T.T7, 1), (T.T6, 1), (T.T5, 1)), EXTRA, big),
            (claim, self.claim_sizes, BOLD, words),
            (note, ((T.T2, 2),), REGULAR, "on_fill" if filled else "ink2"),
        ]
        if small:
            rows = rows[:2]
        self._stack(pen, room, rows, fill)

    def _stack(self, pen: Pen, room: QRectF, rows: list[tuple[str, Choices, int, str]], fill: str) -> None:
        """Rows of text under each other, the block in the middle of the plate."""
        rows = [row for row in rows if row[0]]
        got = [
            fit_lines(self.glass, text, room.size(), choices, weight, pitch=TIGHT) for text, choices, weight, _ in rows
        ]
        between = (3.2 if self.low else 5.5) if self.glass.metrics.small else 4.5 if self.low else 7.0
        gaps = [0.0, pen.mm(between), pen.mm(3.6)]
        total = sum(each.height for each in got) + sum(gaps[: len(got)])
        top = room.top() + (room.height() - total) / 2
        for (text, choices, weight, color), each, gap in zip(rows, got, gaps, strict=False):
            top += gap
            box = QRectF(room.left(), top, room.width(), each.height)
            align: Side = "left" if self.ringed else "center"
            pen.text(box, text, choices, weight, fg=color, bg=fill, align=align, up="top", pitch=TIGHT)
            top += each.height

    def _draw_to_go(self, pen: Pen, ring: QRectF, to_go: ToGo) -> None:
        inside = draw_to_go(pen, ring, to_go.share)
        side = inside.width() * 0.09
        inside = inside.adjusted(side, 0, -side, 0)
        small = self.glass.metrics.small
        base = inside.top() + inside.height() * (0.43 if small else 0.57)
        upper = QRectF(inside.left(), inside.top(), inside.width(), base - inside.top())
        lower = QRectF(inside.left(), base + pen.mm(2.0), inside.width(), inside.height() * (0.45 if small else 0.28))
        pen.text(upper, to_go.number, ((T.T6, 1), (T.T5, 1)), EXTRA, bg="well", align="center", up="bottom")
        pen.text(lower, to_go.words, ((T.T1, 1), (T.T1, 2)), BOLD, bg="well", align="center", up="top", pitch=1.3)

    def _draw_middle(self, pen: Pen, fill: str, filled: bool) -> None:
        sizes, fg = self._sizes, "on_fill" if filled else "unsure"
        width = self.width() / pen.mm(1)
        ring = sizes.middle_ring
        box = pen.box((width - ring) / 2, sizes.middle_ring_y - ring / 2, ring, ring)
        draw_ring(pen, box, "unsure", fg=fg, hole=fill if filled else "plate")
        small = self.glass.metrics.small or self.low
        top = sizes.middle_ring_y + ring / 2 + ((2.6 if self.low else 4.6) if small else 6.2)
        room = pen.box(3, top, width - 6, sizes.height - top - (1.5 if self.low else 3))
        says = self.plate.word if small and not self.low else self.plate.word.replace("\n", " ")
        note = " ".join(part for part in (self.plate.claim, self.plate.note) if part)
        sizes_of_word, gap = self._beside_note(pen, says, "" if small else note, room)
        word = pen.text(
            room,
            says,
            sizes_of_word,
            EXTRA,
            fg=fg,
            bg=fill,
            align="center",
            up="top",
            pitch=1.5,
        )
        if not small:
            top = word.bottom() + pen.mm(gap)
            rest = QRectF(room.left(), top, room.width(), room.bottom() - top)
            pen.text(
                rest,
                note,
                _MIDDLE_NOTE,
                REGULAR,
                fg="on_fill" if filled else "ink2",
                bg=fill,
                align="center",
                up="top",
                pitch=1.55,
            )

    def _beside_note(self, pen: Pen, word: str, note: str, room: QRectF) -> tuple[Choices, float]:
        """The sizes of the middle plate's word that leave its note enough room, and the gap between them, mm."""
        if self.low:
            return _MIDDLE_LOW, 0.0
        steps: tuple[tuple[Choices, float], ...] = (
            (((T.T4, 1), (T.T4, 2), (T.T3, 2)), 4.6),
            (((T.T3, 1), (T.T3, 2)), 3.6),
            (((T.T2, 1), (T.T2, 2)), 2.6),
        )
        for choices, gap in steps if note else steps[:1]:
            high = fit_lines(self.glass, word, room.size(), choices, EXTRA, pitch=1.5).height + pen.mm(gap)
            left = QSizeF(room.width(), room.height() - high)
            if fit_lines(self.glass, note, left, _MIDDLE_NOTE, REGULAR, pitch=1.55).fits:
                break
        return choices, gap


class AnswerRow(TouchGround):
    """NO, CAN'T TELL and YES at their places, which never change within a sign-in. Needs the content's full width.

    Where nothing can be left open (no CAN'T TELL) it is no check of a tray, and the plates are plain.
    """

    keeps_sides = True

    answered = Signal(str, object)

    def __init__(
        self,
        glass: Glass,
        no: views.Plate,
        yes: views.Plate,
        unsure: views.Plate | None = None,
        parent: QWidget | None = None,
        *,
        low: bool = False,
    ) -> None:
        super().__init__(glass, parent)
        self._sizes = _sizes(glass, low=low)
        self.no, self.yes = (
            AnswerPlate(glass, "no", no, self, low=low, ringed=unsure is not None),
            AnswerPlate(glass, "yes", yes, self, low=low, ringed=unsure is not None),
        )
        self.unsure = AnswerPlate(glass, "unsure", unsure, self, low=low) if unsure else None
        for plate in self.plates:
            plate.tapped_action.connect(self.answered)

    def show_plates(self, no: views.Plate, yes: views.Plate, unsure: views.Plate | None) -> None:
        """Ask another question with the same plates; there must be as many as before."""
        for shown, plate in ((self.no, no), (self.yes, yes), (self.unsure, unsure)):
            if shown and plate and shown.plate != plate:
                shown.show_plate(plate)
        self._match_claims()

    @property
    def plates(self) -> list[AnswerPlate]:
        return [plate for plate in (self.no, self.unsure, self.yes) if plate]

    def set_yes_asleep(self, to_go: ToGo) -> None:
        """YES says what opens it; NO and CAN'T TELL stay live."""
        self.yes.to_go = to_go
        self.yes.set_asleep(True)

    def wake_yes(self) -> None:
        self.yes.set_asleep(False)

    def set_answered(self, answer: str) -> None:
        """Fill the plate of the answer given; "" fills none."""
        for plate in self.plates:
            plate.answered = plate.answer == answer
            plate.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        sizes, mm = self._sizes, self.glass.mm
        edge = (self.width() / mm(1) - 2 * sizes.main - sizes.middle - 2 * sizes.gap) / 2
        right = edge + sizes.main + sizes.middle + 2 * sizes.gap
        height = round(mm(sizes.height))
        left_plate, right_plate = (self.yes, self.no) if self.glass.yes_left else (self.no, self.yes)
        left_plate.setGeometry(round(mm(edge)), 0, round(mm(sizes.main)), height)
        right_plate.setGeometry(round(mm(right)), 0, round(mm(sizes.main)), height)
        self._match_claims()
        if self.unsure:
            self.unsure.setGeometry(round(mm(edge + sizes.main + sizes.gap)), 0, round(mm(sizes.middle)), height)

    def _match_claims(self) -> None:
        """NO and YES claim in letters of one size, the largest in which both fit: neither weighs more."""
        sizes = _CLAIM_SMALL if self.glass.metrics.small else _CLAIM
        for n, choice in enumerate(sizes):
            both = [(plate.plate.claim, plate.claim_room()) for plate in (self.no, self.yes)]
            if all(fit_lines(self.glass, claim, room, (choice,), BOLD, pitch=TIGHT).fits for claim, room in both):
                self.no.claim_sizes = self.yes.claim_sizes = sizes[n:]
                return

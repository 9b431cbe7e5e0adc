"""The scope's picture as it comes: freeze, say how deep, keep or try again; the stills of this lumen beside it."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from pathlib import Path
from typing import Any

from PySide6.QtCore import QSizeF, Signal
from PySide6.QtGui import QHideEvent, QImage
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keypad import KeyPad
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.lens import Lens, draw_picture
from kiosk.ui.parts.pen import Pen
from kiosk.ui.screens.live import LiveScreen
from kiosk.ui.screens.photo import read_picture
from kiosk.ui.theme import REGULAR, T

SIDE_MM, SIDE_SMALL_MM = 78.0, 58.0
KEY_MM, KEY_SMALL_MM = 24.0, 18.0
ROW_MM, ROW_SMALL_MM = 26.0, 18.0
CM_DIGITS = 3
TUBE_MM, TUBE_SMALL_MM = 57.0, 44.0


class Mode(Enum):
    """What the page shows."""

    LIVE = "live"
    FROZEN = "frozen"
    TUBE = "tube"  # the drawn tube, whose marks tell how deep
    PLACE = "place"  # the number pad, over the frozen still
    KEEPING = "keeping"  # the disk has it not yet


@dataclass(frozen=True, slots=True, kw_only=True)
class _Column:
    """What stands right of the picture, mm: where, how wide, its lowest edge, the height of a key, the gap."""

    left: float
    wide: float
    low: float
    key: float
    gap: float


class KeptStills(Drawn):
    """The stills of this lumen, newest first, each with its place; as many as there is room for."""

    keeps_sides = True

    def __init__(self, glass: Glass, rows: list[tuple[QImage, str]], none_yet: str, row_mm: float) -> None:
        super().__init__(glass)
        self._rows, self._none_yet, self._row_mm = rows, none_yet, row_mm
        self.setAccessibleName(", ".join(say for _, say in rows) or none_yet)

    def draw(self, pen: Pen) -> None:
        if not self._rows:
            box = pen.box(0, 0, self.width() / pen.mm(1), min(self._row_mm, self.height() / pen.mm(1)))
            pen.text(box, self._none_yet, ((T.T2, 2), (T.T1, 3)), REGULAR, fg="ink2", pitch=1.4)
            return
        wide = self.width() / pen.mm(1)
        share = wide * 0.5
        for n, (image, say) in enumerate(self._rows):
            y = n * (self._row_mm + 2)
            box = pen.box(0, y, share, self._row_mm)
            pen.fill(box, "lens")
            if not image.isNull():
                draw_picture(pen, image, box.adjusted(pen.mm(0.5), pen.mm(0.5), -pen.mm(0.5), -pen.mm(0.5)))
            words = pen.box(share + 3, y, wide - share - 3, self._row_mm)
            pen.text(words, say, ((T.T2, 2), (T.T2, 3), (T.T1, 3), (T.T1, 4)), REGULAR, pitch=1.35)


class CameraScreen(LiveScreen):
    """`frozen` carries a still to be measured, `wanted` a still and what it is of, `said` the key of a sentence.

    Nothing here says that a still is kept: `settled` tells how it went, and the view brings the still.
    """

    frozen = Signal(object)
    wanted = Signal(object, object)
    said = Signal(str)

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._view: views.CameraView | None = None
        self._thumbs: Callable[[str], Path | None] = _no_thumb
        self._mode, self._still, self._at_mm = Mode.LIVE, None, None  # type: Mode, Any, int | None
        self._left: tuple[Mode, Any, int | None] = Mode.LIVE, None, None  # when another screen came over this one
        self._used = 0  # number of the frame that was kept last
        self._made_of: object = None
        self.pad: KeyPad | None = None

    @property
    def mode(self) -> Mode:
        """What the page shows now."""
        return self._mode

    def set_thumbs(self, thumbs: Callable[[str], Path | None]) -> None:
        """Where the small picture of a kept still lies, by its name; None: not made yet."""
        self._thumbs = thumbs

    def show_view(self, view: views.CameraView) -> None:
        """Show what is before the lens; a frozen still stays as it is."""
        before, self._view = self._view, view
        if before is not None and before.of != view.of:
            self._go(Mode.LIVE)
        self._show()

    def begin(self) -> None:
        super().begin()
        self._go(Mode.LIVE)
        self._show()

    def take_up(self) -> None:
        """After a lock: what was frozen is frozen still."""
        self._mode, self._still, self._at_mm = self._left
        self._show()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if not event.spontaneous():
            self._left = self._mode, self._still, self._at_mm

    def foot_pressed(self) -> bool:
        """The foot key and the scope's own key freeze; on a frozen picture they do nothing."""
        if self._mode is Mode.LIVE:
            self.freeze()
        return True

    def key_typed(self, text: str) -> None:
        """Digits for the pad."""
        if self.pad is not None:
            self.pad.typed(text)

    def freeze(self) -> None:
        """Take the newest frame, where the source gives any now."""
        source, view = self.source, self._view
        if source is None or view is None or self._mode is not Mode.LIVE:
            return
        still = source.still() if self.live else None
        if still is None:
            self.said.emit("refused.still_source")
            return
        if still.original is not None and still.frame.number <= self._used:
            self.said.emit("notice.still_gone")
            return
        self._still, self._at_mm = still, view.of.at_mm
        self._go(Mode.FROZEN)
        self._show()
        self.frozen.emit(still)

    def settled(self, still: Any, *, kept: bool) -> bool:
        """This still is on the disk and in the log, or it is not; True where it is frozen here again.

        Where another screen is over this one, it is so when this one is taken up again.
        """
        if kept:
            self._used = max(self._used, still.frame.number)
        left, was, at_mm = self._left
        if left is Mode.KEEPING and was is still:
            self._left = (Mode.LIVE, None, None) if kept else (Mode.FROZEN, still, at_mm)
        if self._mode is Mode.KEEPING and self._still is still:
            self._go(Mode.LIVE if kept else Mode.FROZEN)
            self._show()
        return self._mode is Mode.FROZEN and self._still is still

    def _go(self, mode: Mode) -> None:
        self._mode = mode
        if mode is Mode.LIVE:
            self._still = self._at_mm = None

    def _show(self) -> None:
        view = self._view
        if view is None:
            return
        fill, title = {
            Mode.TUBE: (self._fill_tube, view.tube_title),
            Mode.PLACE: (self._fill_pad, view.pad_title),
        }.get(self._mode, (self._fill, ""))
        shown = replace(view, title=title, help="") if title else view
        other = self.another(shown, self._hand(view), big=False)
        thumbs = tuple(self._thumbs(still.file) for still in view.stills)
        made_of = (self._mode, self._at_mm, thumbs, self.slot_mm)
        if other or self._made_of != made_of:
            self._made_of = made_of
            self.clear_slot()
            self.lens = self.pad = None
            fill(view)
        self.look()

    def _hand(self, view: views.CameraView) -> views.Hand:
        """Done is there when nothing is frozen; from where the depth is said Back leads to the frozen picture.

        While the disk has it not yet, no key leads away.
        """
        if self._mode is Mode.LIVE:
            return view.hand
        left = view.hand.left
        if self._mode in (Mode.TUBE, Mode.PLACE):
            left = tuple(replace(key, send=None, name="back to the picture") for key in left)
        return replace(view.hand, left=() if self._mode is Mode.KEEPING else left, right=())

    def _column(self) -> _Column:
        width, height = self.slot_mm
        side, key = (SIDE_SMALL_MM, KEY_SMALL_MM) if self.small else (SIDE_MM, KEY_MM)
        left, gap = width - self.glass.metrics.edge_mm - side, 4.0 if self.small else 6.0
        return _Column(left=left, wide=side, low=height - (2.5 if self.small else 6), key=key, gap=gap)

    def _place_lens(self, top: float, low: float, column: _Column) -> None:
        """The picture left of the column, from `top` to `low`."""
        edge = self.glass.metrics.edge_mm
        self.lens = Lens(self.glass)
        self.place(self.lens, edge, top, column.left - column.gap - edge, low - top)

    def _fill(self, view: views.CameraView) -> None:
        column, edge = self._column(), self.glass.metrics.edge_mm
        keys, room = column.low - column.key, column.low - column.key - column.gap
        self._place_lens(0, room, column)
        for n, made in enumerate(self._keys(view)):
            self.place(made, edge + n * (60 + column.gap), keys, 60, column.key)
        if self._mode is not Mode.LIVE:
            at = view.at_none if self._at_mm is None else view.at.format(cm=f"{self._at_mm / 10:g}")
            place = KeyButton(self.glass, at, action="how deep", name="how deep")
            place.set_asleep(self._mode is Mode.KEEPING)
        else:
            place = self.key(view.none)
        self.place(place, column.left, keys, column.wide, column.key)
        row = ROW_SMALL_MM if self.small else ROW_MM
        fits = max(1, int((room + 2) / (row + 2)))
        box = QSizeF(self.glass.mm(column.wide / 2), self.glass.mm(row))
        rows = [(self._thumb(each.file, box), each.say) for each in view.stills[:fits]]
        self.place(KeptStills(self.glass, rows, view.none_yet, row), column.left, 0, column.wide, room)

    def _keys(self, view: views.CameraView) -> list[KeyButton]:
        if self._mode is Mode.LIVE:
            return [KeyButton(self.glass, view.freeze, kind="main", action="freeze", name="freeze", size=T.T3)]
        asleep = self._mode is Mode.KEEPING
        label = view.keeping if asleep else view.keep
        keep = KeyButton(self.glass, label, kind="plain" if asleep else "main", action="keep", name="keep still")
        again = KeyButton(self.glass, view.again, action="again", name="try again")
        for key in (keep, again):
            key.set_asleep(asleep)
        return [keep, again]

    def _thumb(self, name: str, box: QSizeF) -> QImage:
        path = self._thumbs(name)
        return QImage() if path is None else read_picture(path, box)

    def _fill_tube(self, view: views.CameraView) -> None:
        """The tube with its marks; under it the picture it is asked of, and the way to the pad."""
        column, tube = self._column(), TUBE_SMALL_MM if self.small else TUBE_MM
        band = LumenBand(self.glass, stations=True)
        band.show_band(view.band, cm_from=view.cm_from)
        band.set_chosen(self._at_mm)
        band.touched.connect(self._on_mark)
        self.place_wide(band, 0, tube)
        self._place_lens(tube + column.gap, column.low, column)
        typed = KeyButton(self.glass, view.type_cm, action="type it", name="type the depth")
        self.place(typed, column.left, column.low - column.key, column.wide, column.key)

    def _fill_pad(self, view: views.CameraView) -> None:
        pad = KeyPad(self.glass, entry="digits", most=CM_DIGITS, erase=view.pad_erase, done=view.pad_done, suffix="cm")
        pad.finished.connect(self._on_cm)
        self.pad = pad
        wide, high = pad.size_mm()
        width, height = self.slot_mm
        self.place(pad, (width - wide) / 2, max(0.0, (height - high) / 2 - 0.4), wide, high)

    def framed(self, frame: Any) -> None:
        if self._mode is Mode.LIVE and self.lens is not None and self.live:
            self.lens.show_image(frame.image)

    def look(self) -> None:
        """The frozen still, the newest frame, or the sentence of a source that gives none."""
        if self._view is not None:
            self.show_still(None if self._mode is Mode.LIVE else self._still, self._view.states)

    def _on_mark(self, at_mm: int) -> None:
        self._at_mm = at_mm
        self._go(Mode.FROZEN)
        self._show()

    def _on_cm(self, text: str) -> None:
        view = self._view
        if view is None:
            return
        if view.longest_cm and int(text) > view.longest_cm:
            if self.pad is not None:
                self.pad.clear()
            self.show_question(view.too_far, "", (), "", big=False, tight=True)
            return
        self._on_mark(10 * int(text))

    def _on_action(self, action: str, payload: object) -> None:
        view = self._view
        if view is None:
            return
        if action == "freeze":
            self.freeze()
        elif action == "again" and self._mode is Mode.FROZEN:
            self._go(Mode.LIVE)
            self.said.emit("")
            self._show()
        elif action == "how deep" and self._mode is Mode.FROZEN:
            self._go(Mode.TUBE if view.band.lumen else Mode.PLACE)
            self._show()
        elif action == "type it":
            self._go(Mode.PLACE)
            self._show()
        elif action == "back to the picture":
            self._go(Mode.FROZEN)
            self._show()
        elif action == "keep" and self._mode is Mode.FROZEN:
            self._go(Mode.KEEPING)
            self._show()
            self.wanted.emit(self._still, replace(view.of, at_mm=self._at_mm))
        else:
            super()._on_action(action, payload)


def _no_thumb(_name: str) -> Path | None:
    """Until the window tells where they lie."""
    return None

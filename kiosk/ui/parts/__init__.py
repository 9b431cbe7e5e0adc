"""Shared widgets of the screens: painted, sized in millimeters, touched with gloves. None has focus, none hovers.

    theme     BENCH, DUSK: Tokens; T.T1 .. T.T8; REGULAR, BOLD, EXTRA; load_fonts(); font(px, weight, mono=False)
              Metrics.for_screen(size_px: tuple[int, int], px_per_mm, scale=1.0): mm(mm) -> px, px(T) -> font pixels,
              small, width_mm, height_mm, content_mm, head_mm, question_mm, band_mm, answers_mm, hand_mm, edge_mm, gap_mm
    glass     Glass(tokens, metrics, guard): what every part is made with. new_glass(size_px, px_per_mm, tokens=BENCH,
              clock=..., rules=BENCH_RULES). To change the theme make a new Glass and new screens.
    guard     TapGuard(clock: Callable[[], int] ms, rules): no Qt. open(), screen_changed(), down/move/up, cloth_seen()
    pen       Pen: paints and takes down at once (so an audit can not differ from the picture); Record.
    drawn     Drawn(glass, parent=None): a painted widget. Override draw(pen: Pen); audit() -> list[Record]
    touch     TouchButton(glass, action="", payload=None, *, repeats=False): override draw(pen), use self.pressed.
              signals tapped(), tapped_action(str, object). tap_area() may be overridden. Never disabled: hide it, or
              set_asleep(True), which draws it without an edge and takes no tap.
    keys      KeyButton(glass, label, *, icon="", kind="plain", action="", payload=None, chosen=False, name="",
              size=T.T2, tone="ink"|"found", repeats=False); kinds plain | main | aid | quiet.
              set_label(text), set_chosen(bool), set_payload(object); KeyButton.of(glass, views.Key)
              AidKey is KeyButton(kind="aid", icon="aid").
    answers   AnswerRow(glass, no: Plate, yes: Plate, unsure: Plate | None = None, *, yes_right=True)
              (views.Plate). signal answered(str, object): "no" | "unsure" | "yes", plate.send.
              set_yes_asleep(to_go: str, small: str, share: float, claim: str, note: str), wake_yes(),
              set_answered("no" | "unsure" | "yes" | ""). Height 62 mm (10 in: 46), full content width.
    ring      draw_ring(pen, rect, ring: views.Ring, on_rail=False, number=""); RingMark(glass, ring) widget
    icons     draw_icon(painter, name, rect, color, back); ICONS: frozenset of names; icon_for_finding(code, group)
    rail      HeadRail(glass): show_head(head: views.Head, clock: str). HandRail(glass): show_hand(hand: views.Hand,
              swapped=False, words=""); signal tapped_action(str, object); keys: list[KeyButton]
    band      LumenBand(glass, stations=False, strip=False): show_band(band: views.Band, cm_from="", all_along=""),
              set_front(share: float | None, words=""), set_chosen(at_mm: int | None, station: int | None = None)
              signals touched(int) true mm from the entry, touched_station(int) index, touched_all_along()
              drawing: LumenDrawing | None (as kiosk.lumen.drawing makes it)
    keypad    KeyPad(glass, *, entry="rings" | "digits", least=1, most=6, decimals=False, erase="", done="", prefix="")
              signals changed(str), finished(str); text(), clear(), press(str) (a typed digit). size_mm() -> (w, h)
    letters   LetterPad(glass, *, most, space, erase, done): signals changed(str), finished(str); text(), press(str)
    pages     Pager(glass): show_page(words, previous: views.Key, next: views.Key, first: bool, last: bool);
              signal tapped_action(str, object)
    lines     fit_lines(text, box_px, look choices) -> Fitted; Words(glass, text, *, size=T.T2, weight=REGULAR, fg="ink",
              bg="field", lines=1, align="left"): a label that wraps and never cuts; set_text(text)
              Panel(glass, bg="plate"): a plate without an edge, for things to read
    frame     ScreenFrame(glass): show_head(head, clock), show_question(title, help="", facts=(), notice="", big=True),
              show_hand(hand, swapped=False, words=""), place(widget, x, y, w, h) and place_wide(widget, y, h) in mm
              of the slot between question and hand rail, clear_slot(), slot_mm -> (w, h), grid(count, ...) -> xs;
              signals tapped_action(str, object) (of every key placed or in the rail), cloth_seen()
    audit     (kiosk.ui.audit) violations(screen) -> list[str]; records(screen) -> list[Record]

A key made from a view's Key has action = key.name or "send" and payload = key.send.
"""

"""Shared widgets of the screens: painted, sized in millimeters, touched with gloves. None has focus, none hovers.

    theme     BENCH, DUSK: Tokens; T.T1 .. T.T8; REGULAR, BOLD, EXTRA; load_fonts(); font(px, weight, mono=False)
              Metrics.for_screen(size_px: tuple[int, int], px_per_mm, scale=1.0): mm(mm) -> px, px(T) -> font pixels,
              small, width_mm, height_mm, content_mm, left_mm, head_mm, question_mm, title_mm, band_mm, answers_mm,
              hand_mm, edge_mm, gap_mm
    glass     Glass(tokens, metrics, guard): what every part is made with; mm(mm) -> px, color(token), font(T, weight).
              new_glass(size_px, px_per_mm, tokens=BENCH, clock=steady_ms, rules=BENCH_RULES, scale=1.0).
              To change the theme make a new Glass and new screens.
    guard     TapGuard(clock: Callable[[], int] ms, rules): no Qt. open(), wait_ms(), screen_changed(), down, move, up
              -> Verdict, cancel(), cloth_seen(). Rules, BENCH_RULES, DECONTAM_RULES
    pen       Pen: paints and takes down at once (so an audit can not differ from the picture); Record. In `draw`:
              pen.mm, box(x, y, w, h mm), fill(rect, token), plate(rect, fill, edge, edge_mm=, radius_mm=, outside=),
              text(rect, text, T | ((T, most lines), ...), weight, fg=, bg=, align=, up=, lines=, mono=, pitch=)
    drawn     Drawn(glass, parent=None): a painted widget. Override draw(pen: Pen); audit() -> list[Record]
    touch     TouchButton(glass, action="", payload=None, *, repeats=False, parent=None): override draw(pen) and use
              pressed, awake, asleep; signals tapped(), tapped_action(str, object), not_taken(str). `role` picks the
              limits of the audit: key, answer, unsure, row, band, letter, supervisor. Never disabled: hide it, or
              set_asleep(True), which draws it without an edge and takes no tap. set_payload(object).
              TouchGround(glass): any container of targets; signal cloth_seen() comes from the outermost.
    keys      KeyButton(glass, label, *, icon="", icon_right=False, kind="plain", action="", payload=None, chosen=False,
              name="", size=T.T2, tone="ink"|"found", ground="field", repeats=False); kinds plain | main | aid | quiet.
              set_label(text), set_chosen(bool), natural_mm() -> width; KeyButton.of(glass, views.Key, ground=, size=,
              chosen=). A list row is a KeyButton with role = "row" (20 mm high, label at its left).
    answers   AnswerRow(glass, no: Plate, yes: Plate, unsure: Plate | None = None) (views.Plate); plain without unsure.
              signal answered(str, object): "no" | "unsure" | "yes", plate.send. Height 62 mm (10 in: 46), full content
              width. set_yes_asleep(ToGo(number=, words=, share=, claim=, note=)), wake_yes(), set_answered(answer)
    ring      draw_ring(pen, rect, ring: views.Ring, fg="", hole="plate", number="", on="plate"); RingMark(glass, ring,
              bg="field") widget with show_ring(ring)
    icons     draw_icon(painter, name, rect, color, back: QColor); ICONS: every name, codes of findings among them
    rail      HeadRail(glass): show_head(head: views.Head, clock: str), chip(): its notice, where that leads somewhere.
              HandRail(glass): show_hand(hand: views.Hand,
              words=""); signal tapped_action(str, object); keys: list[KeyButton], the aid key first
    band      LumenBand(glass, stations=False): show_band(band: views.Band, cm_from="", all_along=""),
              set_front(share: float | None, words=""), set_unseen((from, to) drawn mm | None),
              set_chosen(at_mm: int | None, station: int | None = None, along=False); place it with place_wide.
              signals touched(int) true mm from the entry, touched_station(int) index where the length is not known,
              touched_all_along(). drawing: LumenDrawing | None. Height 45 mm (33); with stations 57 (42.5).
    tube      paint_tube(pen, drawing, TubePlace(x=, y= px, across=1, up=1), dark=(from, to) mm | None), paint_flag, ...
              for a tube in a row of a list: `across` and `up` stretch the drawing
    keypad    KeyPad(glass, *, entry="digits"|"rings", least=1, most=6, decimals=False, erase="", done="", prefix="",
              suffix=""); signals changed(str), finished(str); text(), clear(), erase(), press(character),
              set_prefix(prefix, suffix=""), size_mm() -> (w, h)
    letters   LetterPad(glass, *, most, space, erase, done): signals changed(str), finished(str); text(),
              set_text(text), press(character), erase(). Takes the content's width and as much height as there is.
    pages     Pager(glass, ground="field"): show_page(words, previous: views.Key, following: views.Key, first=, last=);
              signal tapped_action(str, object). 18 mm high.
    words     Words(glass, text, *, size=T.T2, weight=REGULAR, fg="ink", bg="field", lines=1, align="left", up="middle",
              mono=False, pitch=1.75); set_text(text, fg=""). Panel(glass, fill="plate", outside="field"): no edge
    lines     fit_lines(glass, text, box_px, choices, weight) -> Fitted; a no-break space keeps "13 cm" together
    frame     ScreenFrame(glass): show_head(head, clock), show_question(title, help_line="", facts=(), notice="",
              big=True), show_hand(hand, words=""), place(widget, x, y, w, h), place_wide(widget, y, h)
              in mm of the slot between question and hand rail, clear_slot(), slot_mm -> (w, h), question_mm, begin();
              signals tapped_action(str, object) of every key placed or in the rail ("aid": the aid key), cloth_seen()
    audit     (kiosk.ui.audit) violations(screen, glass) -> list[str]; records(screen) -> list[Record];
              arcmin(record, glass, at_cm=60)

A key made from a view's Key has action = key.name or "send" and payload = key.send. Where a part has both a width and a
text, the text wraps and steps down within what the look allows; what then does not fit is drawn and reported.
"""

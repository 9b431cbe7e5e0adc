"""The package label: the tray's name for reading at 2 m, the numbers, blanks that belong to the sterilizer side.

16 arcmin (ISO 9241-3 and NUREG-0700 1.3.1-4: the least height of a capital) at 2 m:
2000 mm x 2 pi x 16 / 21600 = 9.3 mm.
"""

from collections.abc import Sequence
from math import pi

from reportlab.platypus import Paragraph

from kiosk.codes.write import qr
from kiosk.core.papers import PackageLabel
from kiosk.paper.page import DOT_MM, LABEL_MM, Box, DoesNotFit, Form, Pen, gap, press
from kiosk.paper.parts import facts
from kiosk.paper.symbols import draw_code
from kiosk.paper.type import BOLD, CAPITAL_EM, HEAVY, LEAST_CAP_MM, fitted, height_of, paragraph, width_of

AT_2_M_MM = 2000 * 2 * pi * 16 / 21600
MARGIN_MM = 4.0
WIDTH_MM = LABEL_MM[0] - 2 * MARGIN_MM
NAME_LEAST_MM = 4.2  # of a name too long for 2 m; read at 1 m
TOP_MM = 4.0
ALERT_MM = 4.0
FOOT_MM = 2.2
BLANK_MM = 8.0
BLANKS_TOP_MM = LABEL_MM[1] - FOOT_MM - 4.6 - BLANK_MM
MODULE_MM = 8 * DOT_MM  # a label lies flat; ten dots would cost the name its letters for 2 m
SIDE_MM, QUIET_MM = 21 * MODULE_MM, 4 * MODULE_MM
CODE_LEFT_MM = round((LABEL_MM[0] - MARGIN_MM - SIDE_MM) / DOT_MM) * DOT_MM
BESIDE_MM = CODE_LEFT_MM - QUIET_MM - MARGIN_MM


def draw_label(label: PackageLabel) -> bytes:
    """The label as a PDF of one page; alerts step down before the tray's name does. Raises DoesNotFit."""
    largest = name_cap(label.tray_name)
    steps = int((largest - NAME_LEAST_MM) / 0.25) + 1
    sizes = [(largest, ALERT_MM), *((largest - 0.25 * n, LEAST_CAP_MM) for n in range(steps))]
    for name, alert in sizes:
        if _need(label, name, alert) <= BLANKS_TOP_MM:
            break
    else:
        raise DoesNotFit(f"{label.number}: its words need more than the label")
    form = Form(
        id="label", frames=(Box(left=0, top=0, width=9, height=9),), draw=lambda pen: _draw(pen, label, name, alert)
    )
    return press(LABEL_MM, (form,), [gap(1)], f"{label.tray_code} {label.number}")


def name_cap(name: str) -> float:
    """The capital height of a tray's name: 9.3 mm where that fits on two lines, else the largest that does."""
    return fitted(name, AT_2_M_MM, WIDTH_MM, HEAVY, lines=2, least=NAME_LEAST_MM)


def _name(label: PackageLabel, cap: float) -> Paragraph:
    return paragraph(label.tray_name, cap, HEAVY, pitch=1.28)


def _words(label: PackageLabel) -> list[Paragraph]:
    """What stands beside the code."""
    both = f"{label.tray_code} · {label.number}"
    return [
        paragraph(both, fitted(both, 4.4, BESIDE_MM, HEAVY), HEAVY, pitch=1.4),
        paragraph(label.packed, fitted(label.packed, 3.6, BESIDE_MM, BOLD), BOLD, pitch=1.4),
        facts(label.facts, LEAST_CAP_MM),
        paragraph(label.care, LEAST_CAP_MM),
    ]


def _need(label: PackageLabel, name: float, alert: float) -> float:
    """Where the words beside the code end, in mm from the top."""
    rows = len(_alert_rows(label.alerts, alert))
    top = TOP_MM + height_of(_name(label, name), WIDTH_MM) + 0.6 + rows * (alert + 3.4)
    beside = sum(height_of(part, BESIDE_MM) for part in _words(label))
    code = QUIET_MM - 1 + SIDE_MM + QUIET_MM + FOOT_MM + 4.2 - (LABEL_MM[1] - BLANKS_TOP_MM)
    return top + max(beside, code)


def _draw(pen: Pen, label: PackageLabel, name: float, alert: float) -> None:
    above = name * (1 / CAPITAL_EM - 1)  # white over the capitals of the first line
    top = TOP_MM + pen.block(_name(label, name), MARGIN_MM, TOP_MM - above, WIDTH_MM) + 0.6
    top = _alerts(pen, label.alerts, alert, top)
    for part in _words(label):
        top += pen.block(part, MARGIN_MM, top, BESIDE_MM)
    _blanks(pen, label.blanks)
    code_top = LABEL_MM[1] - FOOT_MM - 4.2 - QUIET_MM - SIDE_MM
    whole_dots = round(code_top / DOT_MM) * DOT_MM
    draw_code(pen.canvas, qr(label.code), CODE_LEFT_MM, whole_dots, pen.height, MODULE_MM)
    pen.foot(label.tray_code, label.number, label.foot, left=MARGIN_MM, right=MARGIN_MM, bottom=FOOT_MM)


def _alert_rows(alerts: Sequence[str], cap: float) -> list[list[str]]:
    """As many alerts beside each other as fit."""
    rows: list[list[str]] = []
    left = WIDTH_MM + 1
    for alert in alerts:
        wide = width_of(alert, cap, HEAVY) + 6
        if wide - 2 > WIDTH_MM:
            raise DoesNotFit(f"alert too long: {alert}")
        if left + wide - 2 > WIDTH_MM:
            rows.append([])
            left = 0
        rows[-1].append(alert)
        left += wide
    return rows


def _alerts(pen: Pen, alerts: Sequence[str], cap: float, top: float) -> float:
    """Alerts in white on black; gives where they end."""
    for row in _alert_rows(alerts, cap):
        left = MARGIN_MM
        for alert in row:
            wide = width_of(alert, cap, HEAVY) + 4
            pen.bar(left, top, wide, cap + 2.8)
            pen.words(alert, left + 2, top + 1.4 + cap, cap, HEAVY, inverted=True)
            left += wide + 2
        top += cap + 3.4
    return top


def _blanks(pen: Pen, names: Sequence[str]) -> None:
    """Empty boxes with their names inside, to be filled on the sterilizer side."""
    if not names:
        return
    wide = [width_of(name, LEAST_CAP_MM, BOLD) for name in names]
    spare = (BESIDE_MM - sum(wide)) / len(names)
    left = MARGIN_MM
    for name, width in zip(names, wide, strict=True):
        pen.frame(left, BLANKS_TOP_MM, width + spare, BLANK_MM, line=0.4)
        pen.words(name, left + 1.2, BLANKS_TOP_MM + 1.2 + LEAST_CAP_MM, LEAST_CAP_MM, BOLD)
        left += width + spare

"""The points of a chart and the trips behind each."""

from kiosk.core import events as e
from kiosk.core.commands import Page, Turn
from kiosk.core.composing import charted
from kiosk.core.composing.chart_words import point_words
from kiosk.core.glance import Glance
from kiosk.core.past.figures import Asked, Figures, Spot
from kiosk.core.viewing.chart_subject import asked_by, head_of, split
from kiosk.core.viewing.rows import listed, record_of, shown
from kiosk.core.views import ListRow, ListView


def points(g: Glance) -> ListView:
    """The points of a chart, those that stand out first, then the newest; each opens its trips."""
    say, numbers = g.words.say, g.desk.numbers
    subject = g.turn.subject if g.turn else ""
    asked, days = asked_by(g, subject), split(subject)[0]
    rows: list[ListRow] = []
    if asked and numbers:
        figures = charted.figures_of(g, numbers, asked)
        newest = figures.spots[::-1]
        rows = [
            ListRow(
                title=charted.label_words(g, asked.by, spot.label),
                sub=_sub(g, figures, spot),
                value=charted.spot_words(g, figures, spot),
                icon="arrow_right",
                send=Turn(page=Page.POINT, subject=f"{subject}@{spot.label}"),
                name=f"point {spot.label}",
            )
            for spot in sorted(newest, key=lambda spot: not spot.out)
        ]
    return listed(
        g, rows, about=head_of(g, days), page=Page.POINTS, subject=subject,
        title=charted.chart_title(g, asked) if asked else "", help_=say("numbers.points_help"),
        nothing=say("numbers.nothing"), back=Turn(page=Page.CHART, subject=subject),
    )  # fmt: skip


def _sub(g: Glance, figures: Figures, spot: Spot) -> str:
    """How far a running average or sum has come, and what stands out."""
    far = charted.reached(spot)
    said = g.words.say(f"numbers.reached.{figures.asked.by}", n=far) if far else ""
    return " · ".join(filter(None, (said, charted.state_words(g, figures, spot))))


def point(g: Glance) -> ListView:
    """A point with its limits, and the trips behind it, those with findings first."""
    say, numbers = g.words.say, g.desk.numbers
    whole = g.turn.subject if g.turn else ""
    subject, _, label = whole.partition("@")
    asked = asked_by(g, subject)
    trips = list(numbers.trips(asked, label, g.desk.policy.shifts)) if asked and numbers else []
    rows = [_trip_row(g, asked, trip, found) for trip, found in trips[shown(g, len(trips))]] if asked else []
    figures = charted.figures_of(g, numbers, asked) if asked and numbers else None
    spot = next((spot for spot in figures.spots if spot.label == label), None) if figures else None
    title = charted.label_words(g, asked.by, label) if asked else ""
    behind = say("numbers.trips", n=len(trips))
    if figures and spot:
        title = f"{title} · {charted.spot_words(g, figures, spot)}"
        behind = " ".join(filter(None, (point_words(g, figures, spot), behind)))
    return listed(
        g, rows, many=len(trips), about=head_of(g, split(subject)[0]), page=Page.POINT, subject=whole,
        title=title, help_=behind, nothing=say("numbers.nothing"), back=Turn(page=Page.POINTS, subject=subject),
    )  # fmt: skip


def _trip_row(g: Glance, asked: Asked, trip: str, found: int) -> ListRow:
    told = g.desk.records.of_trip(trip, "tray_opened")
    event = told[0][1].event if told else None
    tray = f"{event.tray.name} · {event.tray.code}" if isinstance(event, e.TrayOpened) else trip
    many = "none" if not found else "one" if found == 1 else "many"
    return ListRow(
        title=tray,
        sub=g.words.say(f"numbers.found.{many}", n=found),
        value=told[0][0] if told else "",
        icon="arrow_right",
        send=record_of(g, trip),
        name=f"trip {trip}",
    )

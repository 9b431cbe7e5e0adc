"""What a draft of the policy would cost or save, as words and lines: the same on the glass and on paper."""

from collections.abc import Iterator
from datetime import date

from kiosk.core.composing.timed import asked_lines, number, signed, span, unknown_words
from kiosk.core.decide.ruling_book import drafted_policy
from kiosk.core.glance import Glance
from kiosk.core.papers import SheetLine
from kiosk.core.past.hours import DAYS, Compared, Hours, LumenChange
from kiosk.core.policy_words import changed, sentence

MOST_LUMENS = 12
"""Lumens that are told one by one; the rest is counted."""


def compared_of(g: Glance, hours: Hours, until: date) -> Compared | None:
    """The draft that lies here against the policy that it changes; None without one."""
    drafted = g.bench.staff.drafted
    if not drafted:
        return None
    now, then = drafted_policy(g.desk, {}), drafted_policy(g.desk, drafted)
    return hours.compared(*span(until), now, then, g.desk.catalogue.kit)


def draft_words(g: Glance, both: Compared) -> str:
    """What the draft would cost or save a shift."""
    if not both.trays:
        return g.words.say("hours.every.none")
    if not both.more:
        return g.words.say("hours.draft.same")
    if set(both.more) <= set(both.minutes.unknown):
        return g.words.say("hours.draft.not_known")
    a_shift = both.minutes.middle / both.shifts
    if number(a_shift) == "0":
        return g.words.say("hours.draft.no_time")
    return g.words.say("hours.draft.more" if a_shift > 0 else "hours.draft.less", n=number(abs(a_shift)))


def draft_of(g: Glance, both: Compared) -> str:
    """What the saving would be paid with, and of how many trays; on the small screen one of them."""
    n = _passages(both, "not_more", 0)
    lost = g.words.say("hours.draft.not_more", n=n) if n else ""
    of = g.words.say("hours.draft.of", trays=both.trays, days=DAYS)
    return (lost or of) if g.small else " ".join(filter(None, (lost, of)))


def _minutes_signed(value: float) -> str:
    text = number(abs(value))
    return text if text == "0" else f"+{text}" if value > 0 else f"−{text}"


def draft_lines(g: Glance, both: Compared) -> Iterator[SheetLine]:
    """What changes for lumens first, then what is asked, then what is in no figure."""
    say = g.words.say
    if both.more:
        low, middle, high = (_minutes_signed(one) for one in (both.minutes.low, both.minutes.middle, both.minutes.high))
        between = say("hours.draft.between", low=low, high=high)
        yield SheetLine(label=say("hours.draft.total", days=DAYS), value=middle, note=between)
    counts = [(f"sight.{sight}", _passages(both, sight, 0)) for sight in ("not_more", "less_far", "newly", "further")]
    counts += [(f"proof.{key}", _passages(both, "", proof)) for proof, key in ((-1, "lost"), (1, "gained"))]
    for key, n in counts:
        if n:
            yield SheetLine(label=say(f"hours.{key}"), value=say("hours.times", n=n), note=say("hours.passages"))
    if both.now_held != both.then_held:
        note = say("hours.now_then", now=both.now_held, then=both.then_held)
        yield SheetLine(label=say("hours.held"), value=signed(both.then_held - both.now_held), note=note)
    yield from (line for line in asked_lines(g, both.now_asked, both.then_asked) if line.value != "0")
    for lumen in both.lumens[:MOST_LUMENS]:
        yield lumen_line(g, lumen)
    left = len(both.lumens) - MOST_LUMENS
    if left > 0:
        yield SheetLine(label=say("hours.more_lumens", n=left))
    before, after = drafted_policy(g.desk, {}), drafted_policy(g.desk, g.bench.staff.drafted)
    for key, _, new in changed(before, after):
        if key in both.other:
            yield SheetLine(label=sentence(g.words, key, new), note=say("hours.draft.other"))


def _passages(both: Compared, sight: str, proof: int) -> int:
    """Passages of lumens of which the draft changes just this."""
    return sum(one.times for one in both.lumens if (one.sight == sight if sight else one.proof == proof))


def lumen_line(g: Glance, one: LumenChange) -> SheetLine:
    """One lumen that the draft treats otherwise."""
    say = g.words.say
    told = [say(f"hours.sight.{one.sight}")] if one.sight else []
    told += [say(f"hours.touched.{'more' if one.touched > 0 else 'less'}")] if one.touched else []
    told += [say(f"hours.proof.{'gained' if one.proof > 0 else 'lost'}")] if one.proof else []
    told += [say(f"hours.size.{'known' if one.size > 0 else 'not'}")] if one.size else []
    told += [say("hours.holds", why=say(f"hours.hold.{one.held}"))] if one.held else []
    told += [say("hours.holds_not", why=say(f"hours.hold.{one.freed}"))] if one.freed else []
    note = say("hours.lumen_of", tray=one.tray, what=", ".join(told))
    return SheetLine(label=f"{one.name}, {g.told(one.lumen)}", value=say("hours.times", n=one.times), note=note)


def draft_notes(g: Glance, both: Compared) -> tuple[str, ...]:
    """What is in no figure, and how near the replay is to what was asked then."""
    say = g.words.say
    told = [unknown_words(g, both.minutes), say("hours.draft.alike", n=both.alike, of=both.known)]
    if both.elsewhere:
        told.append(say("hours.draft.elsewhere", n=both.elsewhere))
    return tuple(filter(None, told))

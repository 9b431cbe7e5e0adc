"""Reference pictures in words, and the wall page of one item type."""

from collections.abc import Callable

from kiosk.core.composing.parts import ReportOrder, report_foot
from kiosk.core.glance import Glance
from kiosk.core.papers import Pictured, Report, Section
from kiosk.core.references import PEOPLE, Agreed
from kiosk.core.stamp import local_time
from kiosk.core.together.kept_references import counting_for


def type_words(g: Glance, code: str) -> str:
    """An item type by its name."""
    known = g.desk.types.get(code)
    return known.name if known else code


def finding_words(g: Glance, code: str) -> str:
    """A finding as it is said."""
    known = g.desk.findings.kinds.get(code)
    return known.say if known else code


def looks_words(g: Glance, code: str) -> str:
    """What a finding looks like; "" for one that is known at another station only."""
    known = g.desk.findings.kinds.get(code)
    return known.looks if known else ""


def agreed_words(g: Glance, one: Agreed) -> str:
    """Which version, who agreed and when; or how many it waits for."""
    say = g.words.say
    names = say("references.and").join(g.name_of(person) for person, _ in one.by)
    if not one.version:
        wait = say("references.waits", n=PEOPLE - len(one.by))
        return f"{wait} {say('references.so_far', names=names)}" if names else wait
    day = f"{local_time(one.by[-1][1], g.now.offset_min):%Y-%m-%d}"
    key = "references.agreed" if one.newest else "references.older"
    return say(key, version=one.version, names=names, day=day)


def back_words(g: Glance, one: Agreed) -> str:
    """Who took it back so far, and how many that waits for; "" where nobody did."""
    if not one.back:
        return ""
    names = g.words.say("references.and").join(g.name_of(person) for person, _ in one.back)
    return g.words.say("references.back_so_far", names=names, n=PEOPLE - len(one.back))


def wall_page(g: Glance, order: ReportOrder) -> Report:
    """Every picture that counts now for an item type, with who agreed and when."""
    say = g.words.say
    found = counting_for(g.bench, g.desk, order.about)
    pictures = tuple(
        Pictured(
            file=one.picture.file,
            sha256=one.picture.sha256,
            words=f"{finding_words(g, one.picture.finding)}. {agreed_words(g, one)}",
            gone=say("pictures.not_printed"),
        )
        for one in found
    )
    return Report(
        doc=order.doc,
        title=type_words(g, order.about),
        number=order.number,
        about=say("references.paper.about"),
        headline=(say("references.paper.headline"),),
        sections=(Section(title="", pictures=pictures, note=say("references.paper.note")),),
        foot=report_foot(g, order),
    )


REPORTS: dict[str, Callable[[Glance, ReportOrder], Report]] = {"reference_page": wall_page}

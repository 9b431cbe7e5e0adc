"""The policy on one page in plain words: for the surveyor and for the wall."""

from collections.abc import Callable

from kiosk.core.composing.parts import ReportOrder, moment, report_foot
from kiosk.core.glance import Glance
from kiosk.core.papers import Report, Section
from kiosk.core.policy import Policy
from kiosk.core.policy_words import by_group, sentence


def policy_page(g: Glance, order: ReportOrder) -> Report:
    """Every key of the policy that holds now, as a sentence, by group."""
    say, policy = g.words.say, g.desk.policy
    signed = {one.version: one for b in (g.bench, *g.desk.others.values()) for one in b.staff.policies}
    mine = signed.get(policy.version)
    about = say("paper.policy.shipped")
    if mine is not None:
        names = {"manager": g.name_of(mine.manager), "infection": g.name_of(mine.infection_prevention)}
        about = say("paper.policy.signed", start=moment(g, mine.from_ms), **names)
    return Report(
        doc=order.doc,
        title=say("paper.policy.title"),
        number=order.number,
        about=about,
        headline=(say("paper.policy.headline", version=policy.version), say("paper.policy.first")),
        sections=policy_sections(g, policy),
        signature=(say("paper.policy.manager"), say("paper.policy.infection")),
        columns=2,
        foot=report_foot(g, order),
    )


def policy_sections(g: Glance, policy: Policy) -> tuple[Section, ...]:
    """Every key of this policy, as a sentence, a section a group."""
    return tuple(
        Section(
            title=g.words.say(f"paper.policy.group.{group}"),
            paragraphs=tuple(sentence(g.words, key, value) for key, value in rows),
        )
        for group, rows in by_group(policy).items()
    )


REPORTS: dict[str, Callable[[Glance, ReportOrder], Report]] = {"policy_page": policy_page}

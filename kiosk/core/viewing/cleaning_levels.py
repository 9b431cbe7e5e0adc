"""The levels of cleaning tests in the policy: the department's own, and published ones on offer, each by its source."""

import json
from collections.abc import Mapping

from kiosk.core.cleaning_levels import levels_from, plain_levels
from kiosk.core.cleaning_tests import PUBLISHED
from kiosk.core.commands import DraftRule, Page
from kiosk.core.glance import Glance
from kiosk.core.policy_choices import group_of
from kiosk.core.policy_words import level_words
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Hand, ListRow, ListView

KEY = "cleaning_levels"


def cleaning_levels(g: Glance, value: Mapping[str, list[str]], back: Hand) -> ListView:
    """What the department set first; a published level is taken into the draft, or out of it, by a touch."""
    say = g.words.say
    own = plain_levels(levels_from(value))
    offered = [(*plain_levels((each,)).popitem(), each.source) for each in PUBLISHED]
    published = {name: row for name, row, _ in offered}
    rows = [
        ListRow(title=level_words(g.words, name, row), sub=say("cleaning.own_level"), value=say("cleaning.is_set"))
        for name, row in own.items()
        if published.get(name) != row
    ]
    for name, row, source in offered:
        there = own.get(name) == row
        after = {**own, name: row} if not there else {each: own[each] for each in own if each != name}
        rows.append(
            ListRow(
                title=level_words(g.words, name, row),
                sub=say(f"cleaning.source.{source}"),
                value=say("cleaning.is_set" if there else "cleaning.not_set"),
                send=DraftRule(
                    key=KEY, value=json.dumps(after), group=group_of(KEY), number=g.turn.number if g.turn else 0
                ),
                name=f"level {name}",
            )
        )
    rows.append(ListRow(title=say("cleaning.light_levels"), sub=say("cleaning.source.light")))
    return listed(
        g,
        rows,
        page=Page.RULE,
        subject=KEY,
        title=say("cleaning.levels_title"),
        help_=say("cleaning.levels_help"),
        nothing="",
        hand=back,
    )

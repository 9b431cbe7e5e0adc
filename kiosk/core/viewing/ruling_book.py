"""The policy at the supervisor's desk: read in words, changed in a draft, signed by two; new rules shown once."""

import json
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from kiosk.core.commands import DraftRule, DropDraft, Page, PrintReport, SignPolicy, Turn
from kiosk.core.decide.ruling_book import drafted_policy, next_version, signs_policy
from kiosk.core.glance import Glance, back_hand, hand, head
from kiosk.core.policy import WHOLE
from kiosk.core.policy_choices import GROUPS, NUMBERS, OPTIONS, SOME_OF, group_of
from kiosk.core.policy_words import by_group, changed, sentence, value_words
from kiosk.core.viewing.cleaning_levels import cleaning_levels
from kiosk.core.viewing.people import name_keys
from kiosk.core.viewing.roster import back_to, is_supervisor
from kiosk.core.viewing.rows import listed
from kiosk.core.views import (
    AskView,
    Hand,
    HelpView,
    Key,
    ListRow,
    ListView,
    MenuView,
    NumberView,
    Plate,
    SignInView,
    View,
)

NEW_RULES_A_PAGE = 3
MOST_KEYS = 9


def desk_key(g: Glance) -> Key | None:
    """The key of the desk."""
    if not is_supervisor(g):
        return None
    n, to = len(g.bench.staff.drafted), Turn(page=Page.POLICY)
    return g.key("policy.key_drafted" if n else "policy.key", to, icon="keys", name="policy", n=n)


def policy(g: Glance) -> MenuView:
    """The groups of the policy; the page for the wall; the draft."""
    n = len(g.bench.staff.drafted)
    groups = [
        g.key(f"policy.group.{group}", Turn(page=Page.RULES, subject=group), name=f"group {group}") for group in GROUPS
    ]
    more = [g.key("policy.print", PrintReport(doc="policy_page"), icon="printer", name="print policy")]
    if n:
        more.append(g.key("policy.draft", Turn(page=Page.POLICY_DRAFT), kind="main", name="draft", n=n))
    return MenuView(
        head=head(g),
        hand=back_to(g, Turn(page=Page.DESK)),
        title=g.words.say("policy.title", version=g.desk.policy.version),
        help=g.words.say("policy.help"),
        notice=g.said(),
        lines=(),
        keys=(*groups, *more),
    )


def _after(g: Glance) -> dict[str, Any]:
    """Every key with the value that the draft gives it."""
    return {
        key: value for rows in by_group(drafted_policy(g.desk, g.bench.staff.drafted)).values() for key, value in rows
    }


def rules(g: Glance) -> ListView:
    """The keys of one group, each as a sentence."""
    groups = by_group(g.desk.policy)
    group = g.turn.subject if g.turn and g.turn.subject in groups else next(iter(groups))
    values = _after(g)
    rows = [
        ListRow(
            title=sentence(g.words, key, values[key]),
            value=g.words.say("policy.changed") if key in g.bench.staff.drafted else "",
            send=Turn(page=Page.RULE, subject=key),
            name=f"rule {key}",
        )
        for key, _ in groups[group]
    ]
    return listed(
        g,
        rows,
        page=Page.RULES,
        subject=group,
        title=_group_title(g, group),
        nothing="",
        hand=back_to(g, Turn(page=Page.POLICY)),
    )


def _group_title(g: Glance, group: str) -> str:
    return g.words.say(f"policy.group.{group}").replace("\n", " ")


def rule(g: Glance) -> View:
    """One key: its choices in words, a number, a list to put together, or the sentence that a file changes it."""
    key = g.turn.subject if g.turn else ""
    value = _after(g)[key]
    group = group_of(key)
    back = back_to(g, Turn(page=Page.RULES, subject=group))
    if key in NUMBERS:
        return NumberView(
            head=head(g),
            hand=back,
            title=sentence(g.words, key, value),
            help=_range_words(g, key),
            notice=g.said(),
            purpose="other",
            send=DraftRule(key=key, group=group),
            field="value",
            decimals=key not in WHOLE,
            as_text=True,
            most=7,
            done=g.words.say("policy.number_done"),
            erase=g.words.say("number.erase"),
        )
    if key == "cleaning_levels":
        return cleaning_levels(g, value, back)
    keys: tuple[Key, ...] = ()
    if key in OPTIONS:
        keys = tuple(
            Key(
                label=value_words(g.words, option).capitalize(),
                send=DraftRule(key=key, value=json.dumps(option), group=group),
                kind="main" if option == value else "plain",
                name=f"option {option}",
            )
            for option in OPTIONS[key]
        )
    elif key in SOME_OF:
        keys = tuple(_some(g, key, value, option, group) for option in SOME_OF[key])
    if len(keys) > MOST_KEYS:
        return _many(g, key, keys, back)
    told = sentence(g.words, key, value)
    return MenuView(
        head=head(g),
        hand=back,
        title=_group_title(g, group),
        notice=g.said(),
        lines=(told,) if keys else (told, g.words.say("policy.by_file")),
        keys=keys,
    )


def _range_words(g: Glance, key: str) -> str:
    """What this number may be."""
    least, most = NUMBERS[key]
    return g.words.say("policy.whole_range" if key in WHOLE else "policy.range", least=least, most=most)


def _many(g: Glance, key: str, keys: Sequence[Key], back: Hand) -> ListView:
    """More choices than keys have room for: a row each, with what is in."""
    say = g.words.say
    rows = [
        ListRow(
            title=each.label,
            value=say("policy.is_in" if each.kind == "main" else "policy.is_out"),
            send=replace(each.send, number=g.turn.number if g.turn else 0)
            if isinstance(each.send, DraftRule)
            else each.send,
            name=each.name,
        )
        for each in keys
    ]
    title = _group_title(g, group_of(key))
    return listed(g, rows, page=Page.RULE, subject=key, title=title, nothing="", hand=back)


def _some(g: Glance, key: str, value: list[str], option: str, group: str) -> Key:
    """A member of a list: filled where it is in, and a touch puts it in or takes it out."""
    there = option in value
    after = [each for each in value if each != option] if there else sorted({*value, option})
    return Key(
        label=value_words(g.words, option).capitalize(),
        send=DraftRule(key=key, value=json.dumps(after), group=group),
        kind="main" if there else "plain",
        name=f"option {option}",
    )


def draft(g: Glance) -> ListView:
    """What will change: each new sentence over what holds now."""
    say = g.words.say
    rows = [replace(row, send=Turn(page=Page.RULE, subject=row.name.removeprefix("rule "))) for row in _changes(g)]
    ask = Turn(page=Page.NAMES, subject="second:policy-now:")
    others = (
        g.key("policy.sign_next", Turn(page=Page.NAMES, subject="second:policy-next:"), name="sign next"),
        g.key("policy.drop", DropDraft(), name="drop draft"),
    )
    return listed(
        g,
        rows,
        page=Page.POLICY_DRAFT,
        title=say("policy.draft_title"),
        help_=say("policy.draft_help", version=next_version(g.desk)),
        nothing=say("policy.draft_nothing"),
        hand=hand(
            g, left=(g.key("rail.back", Turn(page=Page.POLICY), icon="arrow_left"),), right=others if rows else ()
        ),
        main=g.key("policy.sign_now", ask, kind="main", name="sign now") if rows else None,
    )


def _changes(g: Glance) -> list[ListRow]:
    """Each rule of the draft as it will be, over what holds now."""
    before = g.desk.policies[max(g.desk.policies)] if g.desk.policies else g.desk.policy
    after = drafted_policy(g.desk, g.bench.staff.drafted)
    return [
        ListRow(
            title=sentence(g.words, key, new),
            sub=g.words.say("policy.row_was", value=value_words(g.words, old)),
            name=f"rule {key}",
        )
        for key, old, new in changed(before, after)
    ]


def _signed_for(g: Glance) -> str:
    """What the second signer is asked for on this page: `policy-now`, `policy-next`; "" on any other."""
    aim, _, rest = (g.turn.subject if g.turn else "").partition(":")
    about = rest.partition(":")[0]
    return about if aim == "second" and about.startswith("policy-") else ""


def asks_signer(g: Glance) -> bool:
    """Is infection prevention asked for, and nobody of it has shown a badge yet?"""
    about = _signed_for(g)
    if g.turn is None or not about:
        return False
    return g.turn.page is Page.NAMES or not signs_policy(g.desk, about, g.turn.subject.rpartition(":")[2])


def signer_names(g: Glance) -> SignInView:
    """Infection prevention signs too: only its people are on offer, and any other badge is told so at once."""
    say, about = g.words.say, _signed_for(g)
    people = [
        (p.id, p.name) for p in g.desk.catalogue.people.values() if signs_policy(g.desk, about, p.id) and not p.disabled
    ]
    shown = g.turn.subject.rpartition(":")[2] if g.turn else ""
    wrong = say("policy.signer_not", name=g.name_of(shown)) if shown else ""
    return SignInView(
        head=head(g),
        hand=back_to(g, Turn(page=Page.POLICY_DRAFT)),
        title=say("policy.signer_title"),
        help=say("policy.signer_help" if people else "policy.signer_none"),
        line=say("sign_in.line"),
        notice=wrong or g.said(),
        people=name_keys(g, people, g.turn.number if g.turn and not shown else 0, f"second:{about}:"),
    )


def signature(g: Glance) -> View:
    """Infection prevention, on their own badge: every change with what it was, then the question."""
    about, *read, by = (g.turn.subject if g.turn else "").split(":")
    start = about.partition("-")[2] or "now"
    return _sign(g, start, by) if read else _read(g, about, by)


def _read(g: Glance, about: str, by: str) -> ListView:
    """What is signed, page by page; the key that goes on stands on the last."""
    say, rows = g.words.say, _changes(g)
    go_on = g.key(
        "policy.to_sign", Turn(page=Page.SECOND, subject=f"{about}:read:{by}"), kind="main", icon="arrow_right",
        name="to sign",
    )  # fmt: skip
    page = listed(
        g,
        rows,
        page=Page.SECOND,
        subject=f"{about}:{by}",
        title=say("policy.read_title", name=g.name_of(by)),
        help_=say("policy.read_help"),
        nothing=say("policy.draft_nothing"),
        hand=back_to(g, Turn(page=Page.POLICY_DRAFT)),
        kept=1,
    )
    return replace(page, main=go_on) if rows and page.page == page.pages - 1 else page


def _sign(g: Glance, start: str, by: str) -> AskView:
    say, n = g.words.say, len(g.bench.staff.drafted)
    return AskView(
        head=head(g),
        hand=back_hand(g),
        title=say("policy.infection_title", name=g.name_of(by), version=next_version(g.desk)),
        help=say(f"policy.infection_help.{'one' if n == 1 else 'many'}", n=n, start=say(f"policy.from.{start}")),
        notice=g.said(),
        no=Plate(word=say("startup.no"), claim=say("policy.signs_not"), send=Turn(page=Page.POLICY_DRAFT)),
        yes=Plate(word=say("startup.yes"), claim=say("policy.signs"), send=SignPolicy(by=by, start=start)),
    )


def new_rules(g: Glance) -> HelpView:
    """What is new since the version that this person was shown last; once."""
    say = g.words.say
    shown = int(g.turn.subject or 0) if g.turn else 0
    version = g.desk.policy.version
    before = g.desk.policy_at(shown or min([*g.desk.policies, version]))
    entries = [
        ("question", sentence(g.words, key, new), say("policy.row_before", value=value_words(g.words, old)))
        for key, old, new in changed(before, g.desk.policy)
    ]
    pages = max(1, -(-len(entries) // NEW_RULES_A_PAGE))
    at = min(g.turn.number if g.turn else 0, pages - 1)
    subject = g.turn.subject if g.turn else ""

    def turn(n: int) -> Turn:
        return Turn(page=Page.NEW_RULES, subject=subject, number=max(0, min(n, pages - 1)))

    return HelpView(
        head=head(g),
        hand=hand(g, right=(g.key("policy.go_on", Turn(), kind="main", icon="arrow_right", name="go on"),)),
        title=say("policy.new_title", version=version),
        help=say("policy.new_help"),
        entries=tuple(entries[at * NEW_RULES_A_PAGE : (at + 1) * NEW_RULES_A_PAGE]),
        page=at,
        pages=pages,
        page_words=say("page.words", n=at + 1, of=pages),
        previous=g.key("page.previous", turn(at - 1), icon="arrow_left"),
        next=g.key("page.next", turn(at + 1), icon="arrow_right"),
    )

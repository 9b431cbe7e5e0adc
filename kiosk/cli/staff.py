"""The policy by file: checked, put into the draft, written out; and a badge that is stopped, let go on."""

import argparse
import json
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from kiosk.cli.call import CallFault, naming, opened, print_json, values_of

if TYPE_CHECKING:
    from kiosk.core.desk import Desk, Now
    from kiosk.core.stamp import Stamp


def policy(args: argparse.Namespace) -> int:
    """Check a file, draft its values, or write what holds now."""
    return {"check": _check, "load": _load, "save": _save}[args.what](args)


def _check(args: argparse.Namespace) -> int:
    from kiosk import resources
    from kiosk.core.policy_choices import check_numbers

    own = values_of(args.file)
    with naming(args.file):
        check_numbers(own)
        resources.policy(own)
    _say(args, {"keys": len(own)}, f"{len(own)} keys can be used")
    return 0


def _load(args: argparse.Namespace) -> int:
    """Every value that differs goes into the draft of this station, all or none."""
    from kiosk import resources
    from kiosk.core.decide.ruling_book import drafted_policy
    from kiosk.core.events import PolicyDrafted
    from kiosk.core.policy import plain_values
    from kiosk.core.policy_choices import check_numbers
    from kiosk.core.stamp import Kept
    from kiosk.core.together.amending import amended
    from kiosk.desk import make_desk
    from kiosk.devices.clock import SystemClock

    own = values_of(args.file)
    with naming(args.file), opened(args) as store:
        check_numbers(own)
        now, bench = SystemClock().now(), store.bench()
        desk, _ = amended(make_desk(store.catalogue_or_empty(), store.policy_now()), bench, now.at_ms)
        before = plain_values(drafted_policy(desk, {}))
        after = plain_values(resources.policy({**before, **own}))
        changed = {key: json.dumps(after[key]) for key in after if after[key] != before[key]}
        stamp = _unsigned(now, desk)
        store.keep([Kept(event=PolicyDrafted(key=key, value=value), stamp=stamp) for key, value in changed.items()])
    _say(args, {"drafted": sorted(changed)}, f"{len(changed)} changes wait to be signed at the supervisor's desk")
    return 0


def _save(args: argparse.Namespace) -> int:
    import yaml

    from kiosk.core.policy import plain_values
    from kiosk.core.together.amending import amended
    from kiosk.desk import make_desk
    from kiosk.devices.clock import SystemClock

    if args.file.exists():
        raise CallFault(f"{args.file}: is there already")
    with opened(args) as store:
        at_ms = SystemClock().now().at_ms
        desk, _ = amended(make_desk(store.catalogue_or_empty(), store.policy_now()), store.bench(), at_ms)
    values = plain_values(desk.policy)
    args.file.write_text(f"# Policy version {desk.policy.version}.\n{yaml.safe_dump(values, sort_keys=False)}", "utf-8")
    _say(args, {"version": desk.policy.version, "keys": len(values)}, f"version {desk.policy.version} is written")
    return 0


def people(args: argparse.Namespace) -> int:
    """Forgive the wrong PINs of somebody: for whoever keeps the machine, where no supervisor can sign in any more."""
    from kiosk.core.events import TriesForgiven
    from kiosk.core.stamp import Kept
    from kiosk.core.together.amending import amended
    from kiosk.core.tries import wrong
    from kiosk.desk import make_desk
    from kiosk.devices.clock import SystemClock

    with opened(args) as store:
        now, bench = SystemClock().now(), store.bench()
        desk = replace(make_desk(store.catalogue_or_empty(), store.policy_now()), others=store.records.benches())
        desk, _ = amended(desk, bench, now.at_ms)
        if args.person not in desk.catalogue.people:
            raise CallFault(f"{args.person}: this store knows nobody of that code")
        many = wrong(bench, desk.others.values(), args.person)
        if many:
            store.keep([Kept(event=TriesForgiven(person=args.person), stamp=_unsigned(now, desk))])
    _say(args, {"person": args.person, "forgiven": many}, f"{args.person}: {many} wrong PINs are forgiven")
    return 0


def _unsigned(now: "Now", desk: "Desk") -> "Stamp":
    """The stamp of what was done at the machine: nobody is signed in there."""
    from kiosk.core.stamp import Stamp

    return Stamp(
        at_ms=now.at_ms,
        offset_min=now.offset_min,
        trusted=now.trusted,
        who=None,
        trip=None,
        policy=desk.policy.version,
        record=desk.catalogue.version,
    )


def _say(args: argparse.Namespace, document: Mapping[str, Any], words: str) -> None:
    if args.json:
        print_json(document)
    else:
        print(words)

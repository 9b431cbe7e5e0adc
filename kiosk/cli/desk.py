"""The commands of the desk: what a store can say of a shift and of itself."""

import argparse

from kiosk.cli.call import CallFault, opened, policy_of, print_json


def summary(args: argparse.Namespace) -> int:
    from kiosk.devices.clock import SystemClock

    with opened(args) as store:
        _, own = store.policy() or (1, {})
        policy = policy_of(args, own)
        if args.shift not in policy.shifts:
            raise CallFault(f"--shift {args.shift}: the policy's shifts are {', '.join(policy.shifts)}")
        counts = store.records.book((args.shift, args.date), policy, SystemClock().now().at_ms).counts
    if args.json:
        print_json(counts)
    else:
        for name, number in counts.items():
            print(f"{number:>6}  {name.replace('_', ' ')}")
    return 0


def verify(args: argparse.Namespace) -> int:
    with opened(args) as store:
        bad = store.log.verify()
        head = store.log.head()
        report = {"bench": store.store.bench, "events": head.seq, "head": head.h.hex(), "first_bad": bad}
    if args.json:
        print_json(report)
    else:
        print(f"{report['bench']}: {head.seq} events, " + ("the chain holds" if bad is None else f"event {bad} is bad"))
    return 0 if bad is None else 1

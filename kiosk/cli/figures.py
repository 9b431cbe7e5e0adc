"""The commands that reckon with numbers given in the call: a rate with its limits, pieces to look at again."""

import argparse
from decimal import Decimal

from kiosk.cli.call import CallFault, print_json

SMALL = 1e-4
"""A share under this is told in two figures, not in two decimals of a percentage: it is not nothing."""


def percent(share: float) -> str:
    """A share as a percentage without its sign."""
    return f"{100 * share:.2f}" if share == 0 or share >= SMALL else f"{100 * share:.2g}"


def sure(level: float) -> str:
    """A level of confidence in a hundred, as it was given: 0.99999 is 99.999 and never 100."""
    return format((Decimal(str(level)) * 100).normalize(), "f")


def rate(args: argparse.Namespace) -> int:
    """A rate with Wilson's and the exact limits."""
    from kiosk.quality.rates import LEAST_FOR_PERCENT, CountFault
    from kiosk.quality.rates import rate as rate_of

    try:
        found = rate_of(args.found, args.of, args.level)
    except CountFault as fault:
        raise CallFault(str(fault)) from fault
    if args.json:
        print_json({"rate": found.share, "wilson": found.wilson, "exact": found.exact})
        return 0
    if found.wilson is None or found.exact is None:
        print("0 of 0: no data")
        return 0
    share = (
        f"{percent(found.percent / 100)} %" if found.percent is not None else f"no percentage under {LEAST_FOR_PERCENT}"
    )
    print(f"{found.found} of {found.of}: {share}")
    for name, (low, high) in (("Wilson", found.wilson), ("exact (Clopper-Pearson)", found.exact)):
        print(f"{sure(args.level)} in 100 limits of the share, {name}: {percent(low)} to {percent(high)} %")
    print("The limits hold for pieces drawn at random from many alike.")
    return 0


PRODUCER_RISK, CONSUMER_RISK = 0.05, 0.10
"""What a plan may risk, where the call says nothing: good ones failed, bad ones passed (common practice, no source)."""


def sample(args: argparse.Namespace) -> int:
    """How many pieces to look at again: so that none wrong says enough, or by a plan of two shares and risks."""
    from kiosk.quality.sampling import SampleFault, look_again

    if args.aql is not None or args.ltpd is not None:
        return _two_shares(args)
    if args.lot is None or args.allow is None or args.confidence is None:
        raise CallFault("sample: give --lot, --allow and --confidence; or --aql and --ltpd, with or without --lot")
    if args.producer_risk is not None or args.consumer_risk is not None:
        raise CallFault("sample: --producer-risk and --consumer-risk belong to --aql and --ltpd")
    try:
        n = look_again(args.lot, args.allow, args.confidence)
    except SampleFault as fault:
        raise CallFault(str(fault)) from fault
    if args.json:
        print_json({"n": n})
        return 0
    print(f"Look at {n} of {args.lot}, drawn at random.")
    print(f"None wrong among them: at most {args.allow} wrong in all, {sure(args.confidence)} in 100 sure.")
    print("One wrong among them: look at all. What was not looked at stays not looked at.")
    return 0


def _two_shares(args: argparse.Namespace) -> int:
    """The smallest single sampling plan for a good and a bad share, with what it risks."""
    from kiosk.quality.sampling import SampleFault, smallest_plan

    if args.aql is None or args.ltpd is None or args.allow is not None or args.confidence is not None:
        raise CallFault("sample: --aql and --ltpd go together, and without --allow and --confidence")
    good_fails = PRODUCER_RISK if args.producer_risk is None else args.producer_risk
    bad_passes = CONSUMER_RISK if args.consumer_risk is None else args.consumer_risk
    try:
        plan = smallest_plan(args.aql, args.ltpd, producer=good_fails, consumer=bad_passes, lot=args.lot)
    except SampleFault as fault:
        raise CallFault(str(fault)) from fault
    if args.json:
        print_json({"n": plan.n, "accept": plan.accept})
        return 0
    of = "a long run" if args.lot is None else f"{args.lot}"
    print(f"Look at {plan.n} of {of}, drawn at random; with more than {plan.accept} wrong, look at all.")
    print(f"With {sure(args.aql)} in 100 wrong it fails at most {sure(good_fails)} times in 100.")
    print(f"With {sure(args.ltpd)} in 100 wrong it passes at most {sure(bad_passes)} times in 100.")
    print(
        "Reckoned, not from a table. Each piece found wrong is dealt with by itself, and the rest stays not looked at."
    )
    return 0

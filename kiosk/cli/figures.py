"""The commands that reckon with numbers given in the call: a rate with its limits, pieces to look at again."""

import argparse

from kiosk.cli.call import CallFault, print_json


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
    share = f"{found.percent:.2f} %" if found.percent is not None else f"no percentage under {LEAST_FOR_PERCENT}"
    print(f"{found.found} of {found.of}: {share}")
    for name, (low, high) in (("Wilson", found.wilson), ("exact (Clopper-Pearson)", found.exact)):
        print(f"{100 * args.level:g} in 100 limits, {name}: {100 * low:.2f} to {100 * high:.2f} %")
    print("The limits hold for pieces drawn at random from many alike.")
    return 0


def sample(args: argparse.Namespace) -> int:
    """How many pieces to look at again so that none wrong among them says what it should of all."""
    from kiosk.quality.sampling import SampleFault, look_again

    try:
        n = look_again(args.lot, args.allow, args.confidence)
    except SampleFault as fault:
        raise CallFault(str(fault)) from fault
    if args.json:
        print_json({"n": n})
        return 0
    print(f"Look at {n} of {args.lot}, drawn at random.")
    print(f"None wrong among them: at most {args.allow} wrong in all, {100 * args.confidence:g} in 100 sure.")
    print("One wrong among them: look at all. What was not looked at stays not looked at.")
    return 0

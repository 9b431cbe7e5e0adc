"""Why a picture was not kept, as a sentence of the product; what the system itself says of it goes to the log only."""

from kiosk.resources import words
from kiosk.store.bench_store import Outage


def why_words(fault: Exception | None) -> str:
    """The sentence in English, as a log keeps it: whoever stands at the glass is told it in their language."""
    if isinstance(fault, Outage):
        return str(fault)
    return words().say("outage.picture_away" if isinstance(fault, OSError) else "outage.picture")

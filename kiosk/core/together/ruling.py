"""What was ruled between two records, at whichever station. Pure."""

from collections.abc import Iterable

from kiosk.core.state.bench import Bench
from kiosk.core.state.ruled import Ruling
from kiosk.core.together.seen import standing


def words_on(benches: Iterable[Bench], conflict: str) -> list[Ruling]:
    """The rulings on a conflict that no other one had seen."""
    return standing(one.rulings[conflict] for one in benches if conflict in one.rulings)


def ruling_of(benches: Iterable[Bench], conflict: str) -> Ruling | None:
    """The ruling that counts. Of two that differ and had not seen each other neither does: it is ruled once more."""
    words = words_on(benches, conflict)
    return words[0] if len({word.ruling for word in words}) == 1 else None

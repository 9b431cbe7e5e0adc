"""One language of the product: its words, and what stands in other files of the house in that language."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from kiosk.core.desk import ItemType
from kiosk.core.findings import Findings
from kiosk.core.words import Words


@dataclass(frozen=True, kw_only=True)
class Tongue:
    """Words, findings and item types of one language, and the sentences that a log keeps as they were first said.

    `sentences`: (as kept, in this language), with {names} in braces in both; none for the language they are kept in.
    """

    code: str
    words: Words
    findings: Findings
    types: Mapping[str, ItemType]
    sentences: Sequence[tuple[str, str]] = field(default=())

    @cached_property
    def _patterns(self) -> list[tuple[re.Pattern[str], str]]:
        return [(_pattern(kept), own) for kept, own in self.sentences]

    def said(self, text: str) -> str:
        """A kept sentence in this language; what it does not know stays as it was kept."""
        for pattern, own in self._patterns:
            if match := pattern.fullmatch(text):
                return own.format(**{name: self.said(part) for name, part in match.groupdict().items()})
        return text


def _pattern(kept: str) -> re.Pattern[str]:
    """ "swab, {rest}" as a pattern with a group `rest`."""
    parts = re.split(r"\{(\w+)\}", kept)
    return re.compile("".join(f"(?P<{part}>.+?)" if n % 2 else re.escape(part) for n, part in enumerate(parts)))

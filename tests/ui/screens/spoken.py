"""The sample views in another language: their modules made once more, with that language's words."""

import re
import sys
from collections.abc import Mapping
from functools import cache
from importlib import import_module
from types import ModuleType
from unittest.mock import patch

from kiosk import resources
from kiosk.core.words import Words

SAMPLES = (
    "invented",
    "rails",
    "listing_views",
    "looking_views",
    "stills_views",
    "ending_views",
    "doing_views",
    "asking_views",
)


PSEUDO = "+40 %"
"""No language: English with its letters marked, every word longer, two letters more for five in a sentence."""

_MARKED = str.maketrans("aeiouncAEIOU", "áéíóúñçÁÉÍÓÚ")
_MORE = "ëïöü"
GROWTH = 0.4


def longer(text: str) -> str:
    """A text with four letters more for every ten; what is filled in, numbers and signs stay."""
    owed, out = 0.0, []
    for part in re.split(r"(\{[^}]*\}|[A-Za-z]+)", text):
        if re.fullmatch(r"[A-Za-z]+", part):
            owed += GROWTH * len(part)
            more = round(owed)
            owed -= more
            part = part.translate(_MARKED) + (_MORE * 3)[:more]
        out.append(part)
    return "".join(out)


@cache
def words_of(language: str) -> Words:
    """The words of a language, or of the one that is none."""
    if language != PSEUDO:
        return resources.words(language)
    english = resources.words("en")
    lists = {key: tuple(map(longer, lines)) for key, lines in english.lists.items()}
    return Words({key: longer(text) for key, text in english.texts.items()}, lists)


@cache
def samples(language: str) -> Mapping[str, ModuleType]:
    """The modules of sample views, by name, as they are when the words are of this language."""
    spoken = words_of(language)
    names = [f"{__package__}.{name}" for name in SAMPLES]
    usual = {name: sys.modules.pop(name) for name in names if name in sys.modules}
    with patch.object(resources, "words", return_value=spoken):
        made = {name: import_module(f"{__package__}.{name}") for name in SAMPLES}
    for name in names:
        sys.modules.pop(name, None)
    sys.modules.update(usual)
    return made

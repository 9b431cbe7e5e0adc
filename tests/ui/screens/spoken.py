"""The sample views in another language: their modules made once more, with that language's words."""

import sys
from collections.abc import Mapping
from functools import cache
from importlib import import_module
from types import ModuleType
from unittest.mock import patch

from kiosk import resources

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


@cache
def samples(language: str) -> Mapping[str, ModuleType]:
    """The modules of sample views, by name, as they are when the words are of this language."""
    names = [f"{__package__}.{name}" for name in SAMPLES]
    usual = {name: sys.modules.pop(name) for name in names if name in sys.modules}
    with patch.object(resources, "words", return_value=resources.words(language)):
        made = {name: import_module(f"{__package__}.{name}") for name in SAMPLES}
    for name in names:
        sys.modules.pop(name, None)
    sys.modules.update(usual)
    return made

"""Every language of the product says everything, in its own words, and keeps the house's manners."""

import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from kiosk import resources
from kiosk.codes.why import Why
from kiosk.core.catalogue import Lumen
from kiosk.core.settings import CHOICES
from kiosk.core.words import Words, words_from_tree
from kiosk.lumen.drawing import draw_lumen
from kiosk.lumen.planner import plan_tray
from kiosk.places import RESOURCES
from kiosk.store.catalogue_files import load_catalogue
from kiosk.store.outage import Outage

OTHERS = [code for code in CHOICES["language"] if code != "en"]
SHOWN_OF_A_TYPE = ("name", "look", "trap", "together", "warning")
ALIKE = re.compile(r"[\W\d_]*|(Throughlight|GS1|SQLite|kPa|mm|cm|kg|lb|min|h|TR-|W-|[A-Z]{1,3}-?\d*|\{\w+\}|[\W\d_])*")
"""What is alike in every language: signs, numbers, units, names of codes, filled-in names."""

SAME_WORD = {
    "es": {
        "No", "1 lumen", "Lumen", "Total", "Supervisor", "Normal", "Material", "Color", "Local", "no", "lumen",
        "supervisor", "{n} cm²", "{n} mm²",
    },
}  # fmt: skip

UNKIND = {
    "es": re.compile(
        r"está[s]? segur|inválid|error(es)?\b|fall(a|o|ó|ado|ida)s?\b|rechaz|usuari|culp|infracci|éxito", re.IGNORECASE
    )
}
CLAIM = {"es": re.compile(r"\bestéril(?<!agua estéril)\b|\besterilizad[oa]s?\b", re.IGNORECASE)}


def own_words(language: str) -> Words:
    """The words that stand in the language's own files, without what falls back to English."""
    texts: dict[str, str] = {}
    lists: dict[str, tuple[str, ...]] = {}
    for path in sorted((RESOURCES / "words" / language).glob("*.yaml")):
        part = words_from_tree(resources.read_yaml(path))
        texts.update(part.texts)
        lists.update(part.lists)
    return Words(texts, lists)


def pairs(language: str) -> Iterator[tuple[str, str, str]]:
    """(key, English, the other language) of every text and every line that both have."""
    english, own = resources.words(), own_words(language)
    for key in english.texts.keys() & own.texts.keys():
        yield key, english.texts[key], own.texts[key]
    for key in english.lists.keys() & own.lists.keys():
        for n, (one, other) in enumerate(zip(english.lists[key], own.lists[key], strict=True)):
            yield f"{key}[{n}]", one, other


def braces(text: str) -> set[str]:
    return set(re.findall(r"\{(\w*)", text))


@pytest.mark.parametrize("language", OTHERS)
def test_both_languages_have_the_same_words_and_no_other(language: str) -> None:
    english, own = resources.words(), own_words(language)
    assert sorted(english.texts.keys() ^ own.texts.keys()) == []
    assert sorted(english.lists.keys() ^ own.lists.keys()) == []
    assert {key: len(lines) for key, lines in english.lists.items()} == {k: len(v) for k, v in own.lists.items()}


@pytest.mark.parametrize("language", OTHERS)
def test_what_is_filled_in_is_the_same_in_both(language: str) -> None:
    assert [key for key, one, other in pairs(language) if braces(one) != braces(other)] == []


@pytest.mark.parametrize("language", OTHERS)
def test_nothing_is_left_in_english(language: str) -> None:
    left = [
        f"{key}: {other}"
        for key, one, other in pairs(language)
        if one == other and not ALIKE.fullmatch(one) and one not in SAME_WORD[language] and key != "language.es"
    ]
    assert [line for line in left if not line.startswith(("settings.language", "language."))] == []


@pytest.mark.parametrize("language", OTHERS)
def test_the_words_never_blame_never_ask_twice_and_claim_nothing(language: str) -> None:
    own = own_words(language)
    said = [*own.texts.items(), *((key, line) for key, lines in own.lists.items() for line in lines)]
    for code, kind in resources.findings(language).kinds.items():
        said += [(code, kind.say), (code, kind.looks), (code, kind.to_decontam)]
    assert [(key, text) for key, text in said if UNKIND[language].search(text)] == []
    assert [(key, text) for key, text in said if CLAIM[language].search(text)] == []


@pytest.mark.parametrize("language", OTHERS)
def test_sentences_are_short(language: str) -> None:
    """Sixteen words in English; Spanish runs about a quarter longer (common practice, no source)."""
    own = own_words(language)
    said = [*own.texts.items(), *((key, line) for key, lines in own.lists.items() for line in lines)]
    long = [
        (key, sentence)
        for key, text in said
        for sentence in re.split(r"(?<=[.?:])\s", text.replace("\n", " "))
        if len(sentence.split()) > 20
    ]
    assert long == []


@pytest.mark.parametrize("language", OTHERS)
def test_every_finding_and_every_kind_of_item_is_told_in_the_language(language: str) -> None:
    english, own = resources.findings(), resources.findings(language)
    for code, kind in english.kinds.items():
        mine = own[code]
        for field in ("say", "looks", "cause", "to_decontam"):
            one, other = getattr(kind, field), getattr(mine, field)
            assert bool(one) == bool(other), (code, field)
            assert braces(one) == braces(other), (code, field)
            assert one != other or ALIKE.fullmatch(one), (code, field)
        assert (mine.back, mine.bench, mine.group) == (kind.back, kind.bench, kind.group)
    types, others = resources.item_types(), resources.item_types(language)
    for code, item in types.items():
        for field in SHOWN_OF_A_TYPE:
            one, other = getattr(item, field), getattr(others[code], field)
            assert bool(one) == bool(other), (code, field)
            assert one != other or not one, (code, field)


ENGLISH = re.compile(
    r"\b(the|this|left|out|swab|scope|light|air|fits?|bench|nearest|limit|limits|thinnest|not|known|every|short|with|"
    r"covers|checked|toothed|narrow|wide|tiny|middle|curved|filled|holes|bends|use)\b"
)


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("bench", ["B1", "B2"])
def test_every_reason_of_a_plan_is_told_in_the_language(language: str, bench: str) -> None:
    tongue = resources.tongues()[language]
    catalogue = load_catalogue(RESOURCES / "demo", bench)
    policies = [
        resources.policy(),
        resources.policy({"unknown_lumen": "treat_as_tiny", "scope_not_fit": ["mark_not_seen"]}),
        resources.policy({"verify_where": "dirty"}),
        resources.policy({"clean_methods": [*resources.default_policy_values()["clean_methods"], "water", "brush"]}),
    ]
    told = set()
    for policy in policies:
        for out in (frozenset[str](), frozenset(scope.id for scope in catalogue.kit.scopes)):
            for tray in catalogue.trays.values():
                for plan in plan_tray(tray.items, policy, catalogue.kit, out):
                    told |= {check.because for check in plan.checks if not check.because.startswith("function: ")}
                    told |= {because for lumen in plan.lumens for _, because in lumen.left_out}
    assert len(told) > 40
    assert [(text, tongue.said(text)) for text in sorted(told) if ENGLISH.search(tongue.said(text))] == []


@pytest.mark.parametrize("language", OTHERS)
def test_every_word_beside_the_drawing_of_a_lumen_is_told_in_the_language(language: str) -> None:
    tongue = resources.tongues()[language]
    sizes = [
        (b, n) for b in (None, "0.5", "1", "2", "3", "5", "12") for n in (None, 20, 150, 250, 400, 900, 2000, 9000)
    ]
    told = {
        text
        for bore, length in sizes
        for drawn in [draw_lumen(_way(bore, length), 300.0)]
        for text in (drawn.scale_words, drawn.width_words)
    }
    assert len(told) > 10
    assert [text for text in sorted(told) if tongue.said(text) == text] == []


def _way(inside: str | None, length: int | None) -> Lumen:
    return Lumen(
        name="bore",
        inside_mm=None if inside is None else Decimal(inside),
        length_mm=None if length is None else Decimal(length),
    )


@pytest.mark.parametrize("language", OTHERS)
def test_every_reason_why_a_code_was_not_taken_is_told_in_the_language(language: str) -> None:
    tongue = resources.tongues()[language]
    for why in Why:
        filled = why.format(at="7", ai="17", other="11")
        assert tongue.said(filled) != filled, why
        assert "{" not in tongue.said(filled)


def test_each_language_names_itself() -> None:
    for code, tongue in resources.tongues().items():
        assert tongue.words.say("language.code") == code
        assert Path(RESOURCES / "words" / code).is_dir()


def test_what_the_store_says_of_its_disk_is_said_in_the_language_at_the_glass() -> None:
    tongues, words = resources.tongues, resources.words
    told = tongues()["es"].said(str(Outage("newer", version=99, known=6)))
    assert told == words("es").say("outage.newer", version=99, known=6)
    assert tongues()["es"].said(str(Outage("disk_full"))) == "El disco está lleno."

"""Reads what the product ships in resources/: words, policy, findings, item types, kit, the NO screens' choices."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from kiosk.core.desk import ItemType
from kiosk.core.findings import Findings
from kiosk.core.lessons import Lesson, LessonStep
from kiosk.core.policy import Policy
from kiosk.core.settings import CHOICES
from kiosk.core.tongue import Tongue
from kiosk.core.words import Words, words_from_tree
from kiosk.places import RESOURCES

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class ResourceFault(ValueError):
    """A file that cannot be used; the message is one sentence naming the file, and the line where there is one."""


def read_yaml(path: Path) -> Any:
    """The document in `path`. Raises ResourceFault."""
    try:
        return yaml.load(path.read_text("utf-8"), Loader=_Loader)  # noqa: S506 - a safe loader, in C where there is one
    except OSError as fault:
        raise ResourceFault(f"{path.name}: cannot be read ({fault.strerror})") from fault
    except UnicodeDecodeError as fault:
        raise ResourceFault(f"{path.name}: is not text in UTF-8") from fault
    except yaml.YAMLError as fault:
        mark = getattr(fault, "problem_mark", None)
        line = f" line {mark.line + 1}" if mark else ""
        raise ResourceFault(f"{path.name}{line}: {getattr(fault, 'problem', None) or 'is not YAML'}") from fault


@cache
def words(language: str = "en") -> Words:
    """The words of one language: every file of its folder, a part of the work each. No two may hold the same key.

    A word that a language lacks stays English: the bench never stops for one.
    """
    whole = _words_of(language)
    if language == "en":
        return whole
    english = words()
    return Words({**english.texts, **whole.texts}, {**english.lists, **whole.lists})


def _words_of(language: str) -> Words:
    whole = Words({}, {})
    for path in sorted((RESOURCES / "words" / language).glob("*.yaml")):
        part = words_from_tree(read_yaml(path))
        if twice := sorted((whole.texts.keys() | whole.lists.keys()) & (part.texts.keys() | part.lists.keys())):
            raise ResourceFault(f"{path.name}: {twice[0]} stands in another file too")
        whole = Words({**whole.texts, **part.texts}, {**whole.lists, **part.lists})
    return whole


@cache
def findings(language: str = "en") -> Findings:
    """Every kind of finding, in the words of one language."""
    rows = read_yaml(RESOURCES / "findings.yaml")
    own = _own_words("findings", language)
    return Findings.from_rows({**row, **own.get(row["code"], {})} for row in rows)


@cache
def _own_words(name: str, language: str) -> Mapping[str, Mapping[str, str]]:
    """What another language puts in the place of a file's English, by code."""
    if language == "en":
        return {}
    own: Mapping[str, Mapping[str, str]] = read_yaml(RESOURCES / "languages" / language / f"{name}.yaml")
    return own


@cache
def tongues() -> Mapping[str, Tongue]:
    """Every language of the product, by code."""
    return {
        code: Tongue(
            code=code,
            words=words(code),
            findings=findings(code),
            types=item_types(code),
            sentences=(*_own_words("sentences", code).items(), *_outages(code)),  # type: ignore[arg-type]
        )
        for code in CHOICES["language"]
    }


def _outages(language: str) -> tuple[tuple[str, str], ...]:
    """What the store says of the machine under it, as it says it and in this language."""
    if language == "en":
        return ()
    own = words(language)
    return tuple((text, own.say(key)) for key, text in words().texts.items() if key.startswith("outage."))


@cache
def default_policy_values() -> Mapping[str, Any]:
    """The default policy as it stands in the file; a department's own values go over it."""
    values: Mapping[str, Any] = read_yaml(RESOURCES / "policy.yaml")
    return values


def policy(own: Mapping[str, Any] | None = None, *, version: int = 1) -> Policy:
    """The default policy with a department's own values over it. Raises PolicyFault naming the key."""
    return Policy.from_mapping({**default_policy_values(), **(own or {})}, version=version)


@cache
def item_types(language: str = "en") -> Mapping[str, ItemType]:
    """What the trade knows of each kind of item, by code, in the words of one language."""
    own = _own_words("item_types", language)
    rows = [{**row, **own.get(row["code"], {})} for row in read_yaml(RESOURCES / "item_types.yaml")]
    return {
        row["code"]: ItemType(
            code=row["code"],
            name=row["name"],
            look=row["look"],
            do=row["do"],
            dont=row["dont"],
            trap=row["trap"],
            together=row.get("together", ""),
            warning=row.get("warning", ""),
        )
        for row in rows
    }


@cache
def lessons() -> Mapping[str, Lesson]:
    """The written lessons of the practice, by id: what stands under `lesson` in the files of resources/lessons."""
    out = {}
    for path in sorted((RESOURCES / "lessons").glob("*.yaml")):
        tree = read_yaml(path)
        steps = tuple(LessonStep(say=row["say"], right=row["right"]) for row in tree["lesson"]["steps"])
        out[tree["id"]] = Lesson(id=tree["id"], title=tree["lesson"]["title"], steps=steps)
    return out


@cache
def choices() -> Mapping[str, tuple[str, ...]]:
    """The finding codes of each check's NO screen, most likely first."""
    return {check: tuple(codes) for check, codes in read_yaml(RESOURCES / "choices.yaml").items()}

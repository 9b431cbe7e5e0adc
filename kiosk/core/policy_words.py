"""The policy in plain words: a sentence for each key, for the desk, the wall and the surveyor."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from kiosk.core.cleaning_levels import NONE, OVER, levels_from, plain_levels
from kiosk.core.policy import Policy, plain_values
from kiosk.core.policy_choices import GROUPS, group_of
from kiosk.core.words import Words


def sentence(words: Words, key: str, value: Any) -> str:
    """What the policy says under `key`. A key without words of its own stands as it is written in the file."""
    figure = isinstance(value, int) and not isinstance(value, bool)
    told = (words.some(f"rule_figure.{key}", value=value) if figure else "") or value_words(words, value)
    one = words.some(f"rule_one.{key}") if str(value) in {"1", "1.0"} else ""
    return one or words.some(f"rule.{key}", value=told) or f"{key}: {told}"


def value_words(words: Words, value: Any) -> str:
    """A value as it is read: a choice, a number, a list, or a small table."""
    if isinstance(value, bool):
        return words.say("rule_word.yes" if value else "rule_word.no")
    if isinstance(value, Mapping):
        if value and all(" " in str(name) for name in value):
            return "; ".join(level_words(words, *row) for row in plain_levels(levels_from(value)).items())
        parts = (f"{value_words(words, name)}: {_inside(words, each)}" for name, each in value.items())
        return "; ".join(parts) or words.say("rule_word.none")
    if isinstance(value, list | tuple):
        return ", ".join(value_words(words, each) for each in value) or words.say("rule_word.none")
    text = str(value)
    return words.some(f"rule_word.{text}") or words.some(f"name.{text}") or words.some(f"worn.{text}") or text


def level_words(words: Words, name: str, row: Sequence[str]) -> str:
    """Alert and action of a cleaning test, with kind, unit and meter: "protein: alert 3, action 6.4 µg/cm²"."""
    kind, unit, meter = (*name.split(maxsplit=2), "")[:3]
    figures = zip(("alert", "action"), row, strict=False)
    told = ", ".join(words.say(f"cleaning.level.{at}", value=each) for at, each in figures if each != NONE)
    told = words.say("cleaning.level.over", told=told, unit=unit) if OVER in row else f"{told} {unit}"
    of = words.say(f"cleaning.kind.{kind}")
    return words.say("cleaning.level.on", kind=of, meter=meter, told=told) if meter else f"{of}: {told}"


def _inside(words: Words, value: Any) -> str:
    """A value of a table: two clock times are a span."""
    if isinstance(value, list | tuple) and len(value) == 2 and all(":" in str(each) for each in value):
        return f"{value[0]}–{value[1]}"
    return value_words(words, value)


def by_group(policy: Policy) -> dict[str, list[tuple[str, Any]]]:
    """Every key with its value, by group, in the order of the page."""
    values = plain_values(policy)
    out: dict[str, list[tuple[str, Any]]] = {group: [] for group in GROUPS}
    listed = [key for keys in GROUPS.values() for key in keys]
    for key in [*(key for key in listed if key in values), *(key for key in values if key not in listed)]:
        out[group_of(key)].append((key, values[key]))
    return out


def changed(before: Policy, after: Policy) -> Iterable[tuple[str, Any, Any]]:
    """(key, value before, value after) of every key that differs."""
    old, new = plain_values(before), plain_values(after)
    return [(key, old[key], new[key]) for key in new if new[key] != old[key]]

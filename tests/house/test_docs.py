"""What the papers for readers say of the command line and the scripts, held against what there is."""

import re
import shlex
import tomllib
from pathlib import Path

import pytest

from kiosk.cli import EXAMPLES, main

ROOT = Path(__file__).resolve().parents[2]
DOCS = (
    "README.md", "DEVELOPERS.md", "tests/scenarios/README.md", "resources/demo/README.md",
    "docs/guide_tech.md", "docs/guide_decontam.md", "docs/guide_supervisor.md", "docs/policy.md", "docs/counted.md",
    "docs/it.md",
)  # fmt: skip
CALL = re.compile(r"\bthroughlight((?: +(?:--)?[\w./-]+)+)")
SCRIPT = re.compile(r"\bbash (packaging/[\w.]+)")


def calls(text: str) -> list[list[str]]:
    """Every call of the tool that stands as code: between backticks or in a block."""
    code = [*re.findall(r"```[\w]*\n(.*?)```", text, re.DOTALL), *re.findall(r"(?<!`)`([^`\n]+)`(?!`)", text)]
    return [shlex.split(found) for piece in code for found in CALL.findall(piece)]


def usage(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    with pytest.raises(SystemExit) as stopped:
        main([*words, "--help"])
    assert stopped.value.code == 0, words
    return capsys.readouterr().out


def unknown(words: list[str], capsys: pytest.CaptureFixture[str]) -> list[str]:
    """The words of a call that its help does not know: a command that is not there, an option it has not."""
    top = usage(capsys)
    commands = set(re.findall(r"^    (\w+) ", top, re.MULTILINE))
    command = words[0] if not words[0].startswith("--") else ""
    if command and command not in commands:
        return [command]
    shown = usage(capsys, command) if command else top
    return [word for word in words if word.startswith("--") and not re.search(rf"{word}\b", shown)]


@pytest.mark.parametrize("name", DOCS)
def test_every_call_in_the_papers_for_readers_can_be_made(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = (ROOT / name).read_text(encoding="utf-8")
    assert not [(call, words) for call in calls(text) if (words := unknown(call, capsys))]


def test_some_calls_are_found_and_a_wrong_one_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    found = [call for name in DOCS for call in calls((ROOT / name).read_text(encoding="utf-8"))]
    assert ["--demo", "--window", "1280x800"] in found
    assert ["play", "tests/scenarios/S06.yaml"] in found
    assert unknown(["dance"], capsys) == ["dance"]
    assert unknown(["plan", "--louder", "items.yaml"], capsys) == ["--louder"]


def test_the_readme_lists_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    (listed,) = re.findall(r"lists the commands \(([^)]+)\)", (ROOT / "README.md").read_text(encoding="utf-8"))
    commands = re.findall(r"^    (\w+) ", usage(capsys), re.MULTILINE)
    assert sorted(re.findall(r"`(\w+)`", listed)) == sorted(commands)
    assert set(commands) <= set(EXAMPLES)


def test_every_script_that_the_papers_call_is_there_and_can_be_read_by_bash() -> None:
    named = {path for name in DOCS for path in SCRIPT.findall((ROOT / name).read_text(encoding="utf-8"))}
    assert {"packaging/start", "packaging/test"} <= named
    assert not [
        path for path in named if not (ROOT / path).read_text(encoding="utf-8").startswith("#!/usr/bin/env bash")
    ]


def test_the_python_the_readme_names_is_the_one_the_package_asks_for() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    (first, last) = re.findall(r"Python (\d\.\d+) to (\d\.\d+)", (ROOT / "README.md").read_text(encoding="utf-8"))[0]
    assert project["requires-python"] == f">={first},<3.{int(last.split('.')[1]) + 1}"


def test_the_map_names_the_rooms_there_are() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    rooms = {path.name for path in (ROOT / "kiosk").iterdir() if path.is_dir() and path.name != "__pycache__"}
    assert set(re.findall(r"`kiosk/(\w+)/`,? ?(?:\||`)", text)) == rooms


def test_the_map_names_the_rooms_inside_the_core() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    inside = text[text.index("Inside `kiosk/core/`") : text.index("## The one loop")]
    rooms = {path.parent.name for path in (ROOT / "kiosk" / "core").glob("*/__init__.py")}
    assert set(re.findall(r"`(?:kiosk/core/)?(\w+)/?`", inside)) == rooms

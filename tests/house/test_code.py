"""The rules of the house that a reader of the code can check."""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
KIOSK = sorted((ROOT / "kiosk").rglob("*.py"))
PYTHON = [*KIOSK, *sorted((ROOT / "tests").rglob("*.py")), *sorted((ROOT / "packaging").glob("*.py"))]
SCRIPTS = [ROOT / "packaging" / name for name in ("lock", "setup.sh", "start", "test")]
MODAL = {"QDialog", "QMessageBox", "QInputDialog", "QFileDialog", "QErrorMessage", "QProgressDialog", "QWizard"}
MODAL |= {"exec_", "setModal", "setWindowModality", "ApplicationModal", "WindowModal"}
SCROLLING = {"QScrollArea", "QAbstractScrollArea", "QScrollBar", "QScroller", "QListWidget", "QListView"}
SCROLLING |= {"QTableWidget", "QTableView", "QTreeWidget", "QTreeView", "QTextEdit", "QPlainTextEdit", "QTextBrowser"}
SCROLLING |= {"QComboBox", "QSpinBox"}
GESTURES = {"QSwipeGesture", "QPanGesture", "QTapAndHoldGesture", "QDrag", "grabGesture", "mouseDoubleClickEvent"}
EMPTY_NAMES = {"utils", "util", "helpers", "helper", "misc", "manager", "managers", "common"}


@cache
def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def _names(path: Path) -> Iterator[tuple[str, int]]:
    """Every name and attribute that the file mentions, with its line."""
    for node in ast.walk(_tree(path)):
        if isinstance(node, ast.Name):
            yield node.id, node.lineno
        elif isinstance(node, ast.Attribute):
            yield node.attr, node.lineno
        elif isinstance(node, ast.alias):
            yield node.name.rpartition(".")[2], node.lineno
        elif isinstance(node, ast.FunctionDef):
            yield node.name, node.lineno


def _called(node: ast.expr) -> str:
    return node.attr if isinstance(node, ast.Attribute) else node.id if isinstance(node, ast.Name) else ""


def _where(path: Path, line: int, what: str) -> str:
    return f"{path.relative_to(ROOT)}:{line} {what}"


def _imports(path: Path) -> Iterator[tuple[str, int]]:
    for node in ast.walk(_tree(path)):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from ((f"{node.module}.{alias.name}", node.lineno) for alias in node.names)


def test_no_file_is_longer_than_400_lines() -> None:
    files = [*PYTHON, *SCRIPTS, *(ROOT / "db").rglob("*.sql")]
    long = {str(path.relative_to(ROOT)): n for path in files if (n := len(path.read_text().splitlines())) > 400}
    assert not long


def test_every_file_says_what_it_is_for() -> None:
    silent = [
        str(path.relative_to(ROOT)) for path in PYTHON if path.stat().st_size and not ast.get_docstring(_tree(path))
    ]
    assert not silent


def test_no_file_has_a_name_that_says_nothing() -> None:
    assert not [str(path.relative_to(ROOT)) for path in PYTHON if EMPTY_NAMES & {*path.parent.parts, path.stem}]


def _fleeting_slots(tree: ast.AST) -> Iterator[int]:
    """Lines that connect a signal, or a single shot, to a lambda or a partial: nothing can disconnect those."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and _called(node.func) in {"connect", "singleShot"}:
            for value in [*node.args, *(keyword.value for keyword in node.keywords)]:
                if isinstance(value, ast.Lambda) or (
                    isinstance(value, ast.Call) and _called(value.func) in {"partial", "partialmethod"}
                ):
                    yield node.lineno


def test_no_signal_is_connected_to_a_lambda_or_a_partial() -> None:
    assert not [_where(path, line, "") for path in KIOSK for line in _fleeting_slots(_tree(path))]


@pytest.mark.parametrize(
    ("line", "fleeting"),
    [
        ("button.tapped.connect(lambda: send(x))", True),
        ("button.tapped.connect(functools.partial(send, x))", True),
        ("QTimer.singleShot(10, partial(send, x))", True),
        ("button.tapped.connect(self._on_tap)", False),
    ],
)
def test_the_check_for_fleeting_slots_tells_them_apart(line: str, fleeting: bool) -> None:
    assert bool(list(_fleeting_slots(ast.parse(line)))) is fleeting


def test_nothing_on_the_screen_is_modal_scrolls_or_is_swiped() -> None:
    banned = MODAL | SCROLLING | GESTURES
    assert not [_where(path, line, name) for path in KIOSK for name, line in _names(path) if name in banned]


def test_only_the_application_itself_is_executed() -> None:
    places = {"kiosk/app/opening.py", "kiosk/cli/__init__.py"}
    inside = [path for path in KIOSK if str(path.relative_to(ROOT)) not in places]
    assert not [_where(path, line, name) for path in inside for name, line in _names(path) if name == "exec"]


def test_no_file_imports_the_systems_sqlite() -> None:
    assert not [
        _where(path, line, name)
        for path in PYTHON
        for name, line in _imports(path)
        if re.match(r"sqlite3\b|PySide6\.QtSql\b", name)
    ]


def _contract_classes() -> list[tuple[Path, ast.ClassDef]]:
    core = ROOT / "kiosk" / "core"
    files = [
        path for stem in ("events", "commands") for path in (*core.glob(f"{stem}*.py"), *core.glob(f"{stem}/*.py"))
    ]
    return [(path, node) for path in files for node in _tree(path).body if isinstance(node, ast.ClassDef)]


def test_every_event_and_every_command_is_documented() -> None:
    classes = _contract_classes()
    assert classes
    assert not [_where(path, node.lineno, node.name) for path, node in classes if not ast.get_docstring(node)]


def _is_loose(node: ast.ClassDef) -> bool:
    """A dataclass that is not frozen, slotted and keyword-only."""
    for decorator in node.decorator_list:
        if _called(decorator.func if isinstance(decorator, ast.Call) else decorator) == "dataclass":
            words = decorator.keywords if isinstance(decorator, ast.Call) else []
            switched_on = {word.arg for word in words if isinstance(word.value, ast.Constant) and word.value.value}
            return not {"frozen", "slots", "kw_only"} <= switched_on
    return False


def test_every_event_and_every_command_is_frozen_slotted_and_named_by_keyword() -> None:
    assert not [_where(path, node.lineno, node.name) for path, node in _contract_classes() if _is_loose(node)]


def test_nothing_is_told_by_sound_alone() -> None:
    """One module makes sounds and one asks for them, after the screen was painted: no rule, no view and no widget can
    leave to a sound what a washer's noise would drown. `tests/app/test_sounding.py` holds each sound to its picture."""
    sounds = {"QSound", "QSoundEffect", "QAudioSink", "QAudioOutput", "beep", "winsound"}
    told = {path.relative_to(ROOT).as_posix() for path in KIOSK for _, name in _names(path) if name in sounds}
    assert told <= {"kiosk/devices/sound.py"}
    asks = {
        path.relative_to(ROOT).as_posix() for path in KIOSK if "kiosk.devices.sound" in path.read_text(encoding="utf-8")
    }
    assert asks <= {"kiosk/app/sounding.py", "kiosk/app/opening.py", "kiosk/app/kiosk.py"}

"""What leaves the checkout: the wheel, the import rules, and papers that name only what exists."""

import re
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
DOCS = ("README.md", "DEVELOPERS.md", "packaging/CHANGELOG.md", "tests/scenarios/README.md")
# A path as the docs write it, between backticks: a folder of ours, or a file with a known ending.
FOLDERS = r"(?:kiosk|tests|db|resources|packaging|\.ci|docs)/[^`\s*<>{}]*"
PATH = re.compile(rf"`({FOLDERS}|[\w./-]+\.(?:md|py|toml|sh|sql|yaml))`")


def _run(*command: str | Path, cwd: Path = ROOT) -> str:
    words = [str(word) for word in command]
    run = subprocess.run(words, check=False, cwd=cwd, capture_output=True, text=True, timeout=110)
    assert run.returncode == 0, run.stdout + run.stderr
    return run.stdout


def test_each_room_imports_only_what_the_table_of_rooms_allows() -> None:
    _run(Path(sys.executable).parent / "lint-imports")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel built from this checkout, without a network."""
    out = tmp_path_factory.mktemp("wheel")
    options = ("--no-deps", "--no-build-isolation", "--no-index", "--quiet", "--wheel-dir", out)
    _run(sys.executable, "-m", "pip", "wheel", *options, ROOT)
    (found,) = out.glob("throughlight-*.whl")
    return found


@pytest.mark.slow
def test_a_wheel_holds_every_shipped_file(wheel: Path) -> None:
    inside = {name.removeprefix("kiosk/shipped/") for name in zipfile.ZipFile(wheel).namelist()}
    shipped = {
        str(path.relative_to(ROOT))
        for folder in ("db", "resources")
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert shipped
    assert not shipped - inside
    assert not [name for name in inside if name.startswith(("tests/", "packaging/"))]


@pytest.mark.slow
def test_an_installed_wheel_finds_db_and_resources_inside_itself(wheel: Path, tmp_path: Path) -> None:
    target = tmp_path / "installed"
    _run(sys.executable, "-m", "pip", "install", "--no-deps", "--no-index", "--quiet", "--target", target, wheel)
    ask = f"import sys; sys.path[:] = [{str(target)!r}]; from kiosk.places import DB, RESOURCES; print(DB, RESOURCES)"
    # -I -S: nothing of this checkout's own environment may be seen.
    code = f"import sys; std = sys.path[:]; {ask.replace('sys.path[:] = [', 'sys.path[:] = [*std, ')}"
    places = [Path(word) for word in _run(sys.executable, "-I", "-S", "-c", code, cwd=tmp_path).split()]
    assert places == [target / "kiosk/shipped/db", target / "kiosk/shipped/resources"]
    assert (places[1] / "policy.yaml").is_file()
    assert list(places[0].rglob("*.sql"))


def test_a_checkout_finds_db_and_resources_beside_the_package() -> None:
    from kiosk.places import DB, RESOURCES

    assert (DB, RESOURCES) == (ROOT / "db", ROOT / "resources")


def test_the_lock_files_are_hashed_and_name_no_host() -> None:
    for lock in sorted((ROOT / "packaging").glob("*.lock")):
        text = lock.read_text()
        pins = re.findall(r"^[\w.-]+==\S+ \\\n    --hash=sha256:[0-9a-f]{64}", text, re.MULTILINE)
        assert len(pins) == len(re.findall(r"^[\w.-]+(?:==|>=| @)", text, re.MULTILINE)) > 10
        assert not re.search(r"://|--(?:extra-)?index|--find-links|--trusted-host", text)


@pytest.mark.parametrize("name", DOCS)
def test_the_papers_for_readers_name_only_files_that_exist(name: str) -> None:
    doc = ROOT / name
    if not doc.exists():
        pytest.skip(f"no {name} yet")
    text = doc.read_text(encoding="utf-8")
    linked = re.findall(r"\]\((?!\w+:|#)([^)#\s]+)", text)
    absent = [path for path in linked if not (doc.parent / path).exists()]
    absent += [path for path in PATH.findall(text) if not ((ROOT / path).exists() or (doc.parent / path).exists())]
    assert not absent

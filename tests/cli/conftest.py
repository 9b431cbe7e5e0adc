"""What the tests of the command line share."""

from pathlib import Path

import pytest

from kiosk.cli import main
from tests.cli.running import Ran, Run


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run a command in this process, in an empty folder and with an empty data folder."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))

    def command(*words: object) -> Ran:
        try:
            status = main([str(word) for word in words])
        except SystemExit as stopped:
            status = int(stopped.code or 0)
        said = capsys.readouterr()
        return Ran(status=status, out=said.out, err=said.err)

    return command

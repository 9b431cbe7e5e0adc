"""The policy by file: checked with one clear line, drafted, and written out again."""

from pathlib import Path

from kiosk.cli import main
from kiosk.core.events import PolicyDrafted
from kiosk.store.bench_store import BenchStore


def test_a_policy_file_is_checked_drafted_and_never_counts_unsigned(tmp_path: Path, capsys: object) -> None:
    file, folder = tmp_path / "policy.yaml", tmp_path / "store"
    BenchStore(folder, "B1").close()
    file.write_text("fail_limit: 2\nmax_dry_tries: 2\n")
    assert main(["policy", "check", str(file)]) == 0
    assert main(["policy", "load", str(file), "--store", str(folder)]) == 0
    store = BenchStore(folder)
    assert [kept.event for kept in store.read()] == [PolicyDrafted(key="fail_limit", value="2")]
    assert store.policy_now().fail_limit == 3
    store.close()
    saved = tmp_path / "saved.yaml"
    assert main(["policy", "save", str(saved), "--store", str(folder), "--json"]) == 0
    assert "fail_limit: 3" in saved.read_text()
    assert main(["policy", "check", str(saved)]) == 0


def test_a_key_nobody_knows_is_one_line_naming_file_line_and_key(tmp_path: Path, capsys) -> None:  # type: ignore[no-untyped-def]
    file = tmp_path / "policy.yaml"
    file.write_text("fail_limit: 2\nmoon: 1\n")
    assert main(["policy", "check", str(file)]) == 2
    assert capsys.readouterr().err == "throughlight: policy.yaml line 2: policy key moon: this tool does not know it\n"

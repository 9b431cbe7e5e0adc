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


def test_a_number_out_of_its_range_or_in_parts_is_one_line_and_nothing_is_drafted(tmp_path: Path, capsys) -> None:  # type: ignore[no-untyped-def]
    file, folder = tmp_path / "policy.yaml", tmp_path / "store"
    BenchStore(folder, "B1").close()
    for text, said in (
        ("max_dry_tries: 2\nfail_limit: 3.7\n", "fail_limit: takes a whole number from 1 to 9, not 3.7"),
        ("max_dry_tries: 2\nfail_limit: 99\n", "fail_limit: takes a whole number from 1 to 9, not 99"),
        ("\nset_weight_max_kg: 90\n", "set_weight_max_lb: takes a number from 1 to 60, not 90"),
    ):
        file.write_text(text)
        for call in (["policy", "check", str(file)], ["policy", "load", str(file), "--store", str(folder)]):
            assert main(call) == 2
            assert capsys.readouterr().err.endswith(f"policy key {said}\n")
    store = BenchStore(folder)
    assert list(store.read()) == []
    store.close()

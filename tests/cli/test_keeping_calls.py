"""From the shell: a store proven, backed up while it is open elsewhere, and brought back."""

from pathlib import Path

from kiosk.store.database import FILE, Store
from kiosk.store.log import Log
from tests.cli.running import Run
from tests.store.shift import yes


def with_events(folder: Path, number: int = 3) -> None:
    with Store(folder) as store:
        Log(store).append([yes(n) for n in range(number)])


def test_a_store_is_backed_up_into_a_folder_proven_and_brought_back(run: Run) -> None:
    with_events(Path("mine"))
    made = run("backup", "backups", "--store", "mine", "--json")
    assert (made.status, made.json["events"]) == (0, 3)
    file = Path(made.json["file"])
    assert file.name.startswith("throughlight-B1-")
    with_events(Path("mine"))
    done = run("restore", file, "--store", "mine", "--json").json
    assert (done["events"], done["bench"]) == (3, "B1")
    assert (Path(done["put_aside"]) / FILE).is_file()
    assert run("verify", "--store", "mine", "--json").json["events"] == 3
    with_events(Path("mine"), 1)
    proof = run("verify", "--store", "mine", "--json").json
    assert [(one["from"], one["to"], one["why"]) for one in proof["origins"]] == [(1, 3, "first"), (4, 5, "restored")]
    assert proof["faults"] == []


def test_a_backup_may_be_named_and_says_in_words_what_was_done(run: Run) -> None:
    with_events(Path("mine"))
    ran = run("backup", "week.backup", "--store", "mine")
    assert (ran.status, ran.out) == (0, "week.backup: 3 events, looked at again and whole\n")
    ran = run("restore", "week.backup", "--store", "new")
    assert (ran.status, ran.out) == (0, "new: 3 events are back. The next start goes on under a new origin.\n")
    ran = run("restore", "week.backup", "--store", "new")
    assert "What lay there before was put aside in new/put-aside-" in ran.out


def test_a_store_that_is_open_elsewhere_is_proven_and_backed_up_and_not_replaced(run: Run) -> None:
    with_events(Path("mine"))
    with Store(Path("mine")) as store:
        assert run("verify", "--store", "mine").status == 0
        assert run("backup", "b.backup", "--store", "mine").status == 0
        assert "is open already" in run("restore", "b.backup", "--store", "mine").complaint
        assert [row.seq for row in Log(store).append([yes(9)])] == [4]


def test_a_backup_that_does_not_hold_is_refused_in_one_line(run: Run) -> None:
    with_events(Path("mine"))
    run("backup", "b.backup", "--store", "mine")
    data = Path("b.backup").read_bytes()
    at = data.index(b"check_yes")
    Path("b.backup").write_bytes(data[:at] + b"check_noo" + data[at + 9 :])
    line = run("restore", "b.backup", "--store", "new").complaint
    assert "b.backup was not taken, and nothing was changed." in line
    assert "The log of B1 does not hold from event " in line
    assert not (Path("new") / FILE).exists()


def test_what_is_not_there_is_said(run: Run) -> None:
    assert "gone.backup: there is no backup here" in run("restore", "gone.backup", "--store", "mine").complaint
    assert "gone: there is no store here" in run("backup", "backups", "--store", "gone").complaint
    assert not Path("backups").exists()

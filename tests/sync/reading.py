"""Reads bundles in a process of its own and tells, as JSON, what came of each and how much memory that took.

python -m tests.sync.reading STORE FOLDER
python -m tests.sync.reading naive FILE     (what the same measure says of who unpacks a body at once)
"""

import json
import re
import sys
import zlib
from pathlib import Path

from kiosk.store.bench_store import BenchStore
from kiosk.store.outage import Outage
from kiosk.sync.bundle import take_bundle


def peak_kib() -> int:
    """The most memory that this process ever had (proc(5)).

    `getrusage` would count in what the process that started this one had (getrusage(2): it outlives an exec).
    """
    found = re.search(r"VmHWM:\s+(\d+) kB", Path("/proc/self/status").read_text())
    assert found is not None
    return int(found[1])


def main() -> None:
    if sys.argv[1] == "naive":
        data = Path(sys.argv[2]).read_bytes()
        before = peak_kib()
        zlib.decompressobj().decompress(data[data.index(b"\x78\xda") :])
        sys.stdout.write(json.dumps({"grown_kib": peak_kib() - before}))
        return
    store, folder = BenchStore(Path(sys.argv[1])), Path(sys.argv[2])
    out = {}
    stood = held(store)
    before = peak_kib()
    for path in [*sorted(folder.iterdir()), folder / "gone.bundle"]:
        try:
            take_bundle(path, store.heard)
        except Outage as fault:
            out[path.name] = fault.key
            str(fault)
        else:
            out[path.name] = "taken"
        if held(store) != stood:
            out[path.name] = "something was kept"
            stood = held(store)
    grown = peak_kib() - before
    store.close()
    sys.stdout.write(json.dumps({"said": out, "grown_kib": grown}))


def held(store: BenchStore) -> list[object]:
    """All that the store holds of others and of itself, counted, with the hash where each log ends."""
    run = store.store.db.conn.execute
    counts = [run(f"SELECT count(*) FROM {name}").fetchone() for name in ("event", "remote_origin", "signed_head")]
    heads = run("SELECT origin, count(*), max(seq), max(hex(h)), sum(length(body)) FROM remote_event GROUP BY 1")
    return [*counts, *heads.fetchall(), store.log.head().h]


if __name__ == "__main__":
    main()

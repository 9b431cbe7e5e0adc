"""What goes back on the stick: who took a bundle in, up to which event, signed by the log of who took it."""

from pathlib import Path

from kiosk.store.database import Store
from kiosk.store.heads import Heads
from kiosk.sync.bundle import Taken
from kiosk.sync.bundle_format import canonical
from kiosk.sync.stick import write_plain

LABEL = b"spl-receipt1"
SUFFIX = ".receipt"


def write_receipt(bundle: Path, taken: Taken, store: Store, *, at_ms: int) -> Path:
    """Write the receipt beside the bundle, durably: canonical JSON, signed over the label and all but the signature.

    `head` is the newest signed head of the own log, none where nothing was kept in it yet. Raises Outage, where the
    stick lets nothing be written too; what was taken in stays so.
    """
    heads, header = Heads(store), taken.header
    head = heads.sign(at_ms) or heads.newest()
    tree: dict[str, object] = {
        "format": 1,
        "at_ms": at_ms,
        "by": {"origin": store.origin, "bench": store.bench, "key": (store.keys.public(store.origin) or b"").hex()},
        "took": {
            "origin": header.origin,
            "bench": header.bench,
            "from": header.first,
            "to": header.last,
            "h": header.head.h.hex(),
            "new": taken.new,
        },
        "head": {"seq": head.seq, "hlc": head.hlc, "h": head.h.hex(), "at_ms": head.at_ms, "sig": head.sig.hex()}
        if head
        else None,
    }
    signature = store.keys.sign_as(store.origin, LABEL, canonical(tree)) or b""
    path = bundle.with_name(bundle.name + SUFFIX)
    write_plain(path, [canonical({**tree, "sig": signature.hex()}) + b"\n"])
    return path

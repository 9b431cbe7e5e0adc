"""The closed vocabulary: words that are the same in code, on disk, in files and on screen."""

from enum import StrEnum


class Check(StrEnum):
    """A check of a piece (apart, look, insulation, function) or of one of its lumens (the rest)."""

    APART = "apart"
    LOOK = "look"
    DRY = "dry"
    LIGHT = "light"
    HOLES = "holes"
    TEETH = "teeth"
    SWAB = "swab"
    SCOPE = "scope"
    AIR = "air"
    WATER = "water"
    BRUSH = "brush"
    SOIL_TEST = "soil_test"
    INSULATION = "insulation"
    FUNCTION = "function"
    LUBRICATE = "lubricate"  # by the item record, after the looks and before the function test
    READY = "ready"  # a power tool: battery seated, blade off, before it runs
    BASKET = "basket"  # the tray's own: basket and mat, nothing loose
    ASSEMBLY = "assembly"  # the tray's own, last: the finished tray as the set record says
    OTHERS = "others"  # the tray's own: one shared look for every piece without a lumen


class Size(StrEnum):
    """Size class of a lumen by its narrowest clear inside diameter."""

    TINY = "tiny"
    NARROW = "narrow"
    MIDDLE = "middle"
    WIDE = "wide"
    UNKNOWN = "unknown"


class Feature(StrEnum):
    """What a lumen's shape does to the checks that can be made."""

    CURVED = "curved"
    BRANCHED = "branched"
    BLIND = "blind"
    FENESTRATED = "fenestrated"
    SIDE_HOLE = "side_hole"
    TOOTHED = "toothed"
    FILLED = "filled"
    STEPPED = "stepped"
    ROUGH = "rough"
    LONG = "long"
    TAKES_APART = "takes_apart"


class Opening(StrEnum):
    """Whether a lumen is open at both ends or at one."""

    BOTH = "both"
    ONE = "one"


class Learnt(StrEnum):
    """How the inside size was learnt. A typical size may draw the screen, never release a hold."""

    IFU = "ifu"
    GAUGE_PIN = "gauge_pin"
    TYPICAL = "typical"


class Group(StrEnum):
    """How the shift summary counts a finding."""

    SOIL = "soil"
    FOREIGN = "foreign"
    WET = "wet"
    BLOCKED = "blocked"
    DAMAGE = "damage"
    IDENTITY = "identity"
    CHECK = "check"
    EVENT = "event"


class Disposition(StrEnum):
    """What becomes of a piece or a tray."""

    PACK = "pack"
    PACK_SHORT = "pack_short"
    DRY_AGAIN = "dry_again"
    BENCH_FIX = "bench_fix"
    ITEM_BACK = "item_back"
    TRAY_BACK = "tray_back"
    REPAIR = "repair"
    QUARANTINE = "quarantine"
    DISCARD = "discard"
    HOLD = "hold"
    REPLACED = "replaced"
    SECOND_LOOK = "second_look"
    NOT_STARTED = "not_started"
    RECEIVED = "received"
    CLOSED = "closed"


class BenchLevel(StrEnum):
    """What must be done to the bench before the next piece is touched."""

    NONE = "none"
    WIPE = "wipe"
    FULL = "full"


class Role(StrEnum):
    """What a person may do."""

    TECH = "tech"
    TRAINEE = "trainee"
    SENIOR = "senior"
    SUPERVISOR = "supervisor"
    DECONTAM = "decontam"
    EDUCATOR = "educator"
    INFECTION_PREVENTION = "infection_prevention"


class Doc(StrEnum):
    """The papers."""

    TRAY_SHEET = "tray_sheet"
    RETURN_TICKET = "return_ticket"
    PACKAGE_LABEL = "package_label"
    REPAIR_TAG = "repair_tag"
    QUARANTINE_TAG = "quarantine_tag"
    DISCARD_NOTE = "discard_note"

"""A still of a lumen: a kept picture with its place, its measures, and the look that a second person accepted."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class StillQuality:
    """What was measured on a still, as whole numbers (`kiosk.sight.picture_quality`).

    `dark`, `bright`, `glare`: shares of the picture per mille; `light`: L* of its middle place in tenths; `laplacian`
    and `tenengrad`: focus, rounded, compared only with other pictures of one scope; `blur`: the blur effect per mille;
    `drops`: small round bright spots.
    """

    dark: int
    bright: int
    glare: int
    light: int
    laplacian: int
    tenengrad: int
    blur: int
    drops: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StillOn:
    """A still of this trip. `at_mm` None: nobody said where. `accepted`: who accepted it as the known look, or ""."""

    n: int
    piece: str
    lumen: str
    at_mm: int | None
    file: str
    sha256: str
    by: str
    at_ms: int
    accepted: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownLook:
    """The last still that a second person accepted, of one marked piece or of one line of a tray.

    `by`, `at_ms`, `offset_min`: who accepted it, and when.
    """

    file: str
    sha256: str
    at_mm: int | None
    by: str
    at_ms: int
    offset_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlined:
    """One place where a still departs from its wall or from the known look: a closed line in pixels of the picture
    as it was compared, and the color difference (CIEDE2000) as a number. It says nothing of what it is."""

    points: tuple[tuple[float, float], ...]
    difference: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned:
    """How the known look is laid on today's: turned right toward bottom about the bore's axis, and so much larger."""

    turn_deg: float
    scale: float
    today: tuple[float, float]
    known: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """What came of comparing one still, `width` pixels across. It is shown and never kept.

    `turned`: None where there is no known look, or where it does not fit. `read`: False where the way down the tube
    was not found: nothing was compared then. `light`, `dark`: the two colors that outlines are drawn in, #RRGGBB.
    """

    today: str
    known: str
    width: int
    turned: Turned | None
    read: bool
    outlined: tuple[Outlined, ...]
    light: str
    dark: str

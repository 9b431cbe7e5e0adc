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

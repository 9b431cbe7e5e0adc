"""What was outlined against what is there: which soils were met, and which marks met nothing."""

from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from kiosk.sight.color import Array
from kiosk.sight.outline import Polygon
from kiosk.sight.pointing import Pointed
from kiosk.sight.rendered import Still


@dataclass(frozen=True, slots=True, kw_only=True)
class Met:
    """`soils`: for each soil whether a mark lies on it; `false`: marks on neither soil nor rust nor bristle."""

    soils: tuple[bool, ...]
    false: int


def filled(outline: Polygon, shape: tuple[int, ...]) -> Array:
    """The polygon as a mask of the picture, its edge with it."""
    image = Image.new("1", (shape[1], shape[0]))
    ImageDraw.Draw(image).polygon(list(outline), fill=1, outline=1)
    return np.asarray(image)


def met(seen: Still, pointed: Pointed) -> Met:
    """A soil is met where a mark shares a pixel with it, however small a part of it that is."""
    masks = [filled(mark.outline, seen.picture.shape) for mark in pointed.marks]
    soils = tuple(
        any(bool((mask & (seen.parts == number)).any()) for mask in masks)
        for number in range(1, len(seen.differences) + 1)
    )
    false = sum(not bool((mask & (seen.soil | seen.other)).any()) for mask in masks)
    return Met(soils=soils, false=false)

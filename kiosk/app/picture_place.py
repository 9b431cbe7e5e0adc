"""A place on the map in a picture file: such a file is not kept, as taking it out would make it another file."""

import io

_GPS_IFD = 0x8825
"""The tag of EXIF's part with the place (EXIF 2.32, GPS Info IFD Pointer)."""
_GPS_NAMES = (b"GPSLatitude", b"GPSLongitude")
"""The same in XMP (exif:GPSLatitude), which is plain text in the file or in a text part of it."""


class CarriesPlace(ValueError):
    """The bytes say where on the map the picture was taken."""


def carries_place(data: bytes) -> bool:
    """Does a PNG or JPEG carry a place on the map, in EXIF or in XMP? Never raises for what the bytes hold."""
    from PIL import Image

    if any(name in data for name in _GPS_NAMES):
        return True
    try:
        with Image.open(io.BytesIO(data), formats=("PNG", "JPEG")) as picture:
            if picture.getexif().get_ifd(_GPS_IFD):
                return True
            values = [value for value in picture.info.values() if isinstance(value, str | bytes)]
    except Exception:  # noqa: BLE001 - a decoder of foreign bytes: what it can not read names no place
        return False
    texts = [one if isinstance(one, bytes) else one.encode("utf-8", "surrogatepass") for one in values]
    return any(name in text for name in _GPS_NAMES for text in texts)

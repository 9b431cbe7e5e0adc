"""A place on the map is found also beside a text that can not be written out."""

import pytest
from PIL import Image

from kiosk.app.picture_place import carries_place


@pytest.mark.parametrize("there", [True, False])
def test_a_text_that_can_not_be_encoded_hides_no_place(monkeypatch: pytest.MonkeyPatch, there: bool) -> None:
    picture = Image.new("L", (8, 8))
    picture.info["Comment"] = "\ud800 half a character"
    if there:
        picture.getexif().get_ifd(0x8825)[2] = (48.0, 8.0, 0.0)  # GPSLatitude (EXIF 2.32, from memory)
    monkeypatch.setattr(Image, "open", lambda *_, **__: picture)
    assert carries_place(b"as it came") is there

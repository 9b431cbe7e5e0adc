"""Writes resources/sounds anew from kiosk/devices/tones.py: python packaging/sounds.py."""

from kiosk.devices.tones import SOUNDS, wav
from kiosk.places import RESOURCES

for name, tone in SOUNDS.items():
    path = RESOURCES / "sounds" / f"{name}.wav"
    path.write_bytes(wav(tone))
    print(path.name)

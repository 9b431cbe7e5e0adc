"""Plays the shipped sounds by name. An extra: where a machine has no sound, or none can be loaded, it is silent."""

import logging
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, Protocol

from PySide6.QtCore import QObject, QTimer, QUrl, Slot

from kiosk.devices.multimedia import multimedia, quietly

log = logging.getLogger(__name__)

LEVELS: Mapping[str, float] = MappingProxyType({"silent": 0.0, "low": 0.25, "normal": 1.0})
"""Level -> share of what the file holds: low is 12 dB under normal (a choice)."""


class Plays(Protocol):
    """Whatever plays sounds by name."""

    def play(self, name: str, level: str) -> None:
        """Play it now, at silent, low or normal. Never raises, never waits."""
        ...


class Sounds(QObject):
    """The WAV files of `folder`. Loaded after the first sound was asked for, when the screen has been painted."""

    def __init__(self, folder: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._folder = folder
        self._media: Any = None
        self._devices: Any = None
        self._effects: dict[str, Any] = {}
        self._asked: tuple[str, float] | None = None
        self._loading = QTimer(self, singleShot=True, interval=0)
        self._loading.timeout.connect(self._load)

    @property
    def silent(self) -> bool:
        """Was it found that nothing can be heard here?"""
        return self._devices is not None and not self._effects

    def play(self, name: str, level: str) -> None:
        """Play it now. The first one comes when everything is loaded."""
        volume = LEVELS[level]
        if not volume:
            return
        if self._devices is None:
            self._asked = (name, volume)
            self._loading.start()
            return
        effect = self._effects.get(name)
        if effect is not None:
            effect.setVolume(volume)
            effect.play()

    @Slot()
    def _load(self) -> None:
        if self._devices is not None:
            return
        try:
            self._media = multimedia()
        except ImportError as fault:
            log.debug("no sound: %s", fault)
            self._devices = QObject(self)
            return
        with quietly():
            self._devices = self._media.QMediaDevices(self)
            self._devices.audioOutputsChanged.connect(self._find)
        self._find()
        if self._asked is not None and self._effects:
            name, volume = self._asked
            self._effects[name].setVolume(volume)
            self._effects[name].play()

    @Slot()
    def _find(self) -> None:
        """A loudspeaker was plugged in or out."""
        with quietly():
            there = bool(self._media.QMediaDevices.audioOutputs())
            if not there:
                self._effects.clear()
            elif not self._effects:
                for path in sorted(self._folder.glob("*.wav")):
                    effect = self._media.QSoundEffect(self)
                    effect.setSource(QUrl.fromLocalFile(str(path)))
                    self._effects[path.stem] = effect

"""The shipped sounds are what the program makes, and what the design names: pitch by FFT, length, soft edges."""

import io
import wave
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from kiosk.devices.tones import SOUNDS, wav
from kiosk.places import RESOURCES

Wave = NDArray[np.float64]

DESIGN: dict[str, list[float]] = {
    "taken": [1000],
    "yes": [880, 1175],
    "no": [660, 494],
    "unsure": [740],
    "not_taken": [220],
    "new_return": [523, 784, 523],
}
"""Hz, in order: the look, 2.13."""
LONG_MS = {"taken": (25, 25), "yes": (60, 120), "no": (60, 120), "unsure": (60, 120), "not_taken": (120, 120)}
"""Least and most ms of one tone: the look, 2.13. Of a new return it says "slow"."""
EDGE_MS = 8  # the look, 2.13


def _read(path: Path) -> tuple[Wave, int]:
    with wave.open(str(path), "rb") as file:
        assert (file.getnchannels(), file.getsampwidth()) == (1, 2)  # mono, 16 bits
        data = np.frombuffer(file.readframes(file.getnframes()), "<i2").astype(float)
        return data / 32768, file.getframerate()


def _parts(name: str) -> tuple[list[Wave], int]:
    """The tones of a file, parted at the silences of 10 ms and more."""
    data, rate = _read(RESOURCES / "sounds" / f"{name}.wav")
    loud = np.nonzero(np.abs(data) > 1e-3)[0]
    gaps = np.nonzero(np.diff(loud) > rate // 100)[0]
    return [data[piece[0] : piece[-1] + 1] for piece in np.split(loud, gaps + 1)], rate


def _pitch(tone: Wave, rate: int) -> float:
    """Hz of the strongest line of the spectrum, padded so that lines lie 0.5 Hz apart."""
    spectrum = np.abs(np.fft.rfft(tone * np.hanning(len(tone)), 2 * rate))
    return float(np.argmax(spectrum)) / 2


def test_the_files_are_what_the_program_makes() -> None:
    files = {path.stem: path.read_bytes() for path in (RESOURCES / "sounds").glob("*.wav")}
    assert set(files) == set(SOUNDS) == set(DESIGN)
    for name, data in files.items():
        with wave.open(io.BytesIO(wav(SOUNDS[name])), "rb") as made, wave.open(io.BytesIO(data), "rb") as kept:
            assert made.getparams() == kept.getparams()
            now, then = (np.frombuffer(each.readframes(each.getnframes()), "<i2").astype(int) for each in (made, kept))
            assert np.abs(now - then).max() <= 1, name  # another machine's sine may round the other way


@pytest.mark.parametrize("name", DESIGN)
def test_each_sound_has_the_pitches_of_the_design_in_their_order(name: str) -> None:
    tones, rate = _parts(name)
    assert [_pitch(tone, rate) for tone in tones] == pytest.approx(DESIGN[name], abs=1.5)


@pytest.mark.parametrize("name", LONG_MS)
def test_each_tone_is_as_long_as_the_design_says(name: str) -> None:
    least, most = LONG_MS[name]
    tones, rate = _parts(name)
    for tone in tones:
        assert least - 2 <= len(tone) / rate * 1000 <= most  # its very ends are too soft to be counted


def test_a_new_return_is_slower_than_every_other_sound() -> None:
    tones, rate = _parts("new_return")
    assert min(len(tone) for tone in tones) / rate * 1000 > 2 * 120


@pytest.mark.parametrize("name", DESIGN)
def test_every_tone_begins_and_ends_softly_within_8_ms(name: str) -> None:
    """No step between samples is steeper than the tone's own, and the full height is there after 8 ms and not before
    2 ms: a click would be both."""
    tones, rate = _parts(name)
    for tone, hertz in zip(tones, DESIGN[name], strict=True):
        peak = np.abs(tone).max()
        assert np.abs(np.diff(tone)).max() <= 2 * np.pi * hertz / rate * peak * 1.02
        for end in (tone, tone[::-1]):
            edge = np.abs(end[: rate * EDGE_MS // 1000])
            assert edge[: rate * 2 // 1000].max() < 0.25 * peak
            rest = np.abs(end[rate * EDGE_MS // 1000 : rate * EDGE_MS // 1000 + max(1, round(rate / hertz / 2))])
            assert rest.max() > 0.95 * peak


def test_what_was_not_taken_is_softer_and_nothing_clips() -> None:
    peaks = {name: np.abs(_read(RESOURCES / "sounds" / f"{name}.wav")[0]).max() for name in DESIGN}
    assert max(peaks.values()) < 0.6
    assert all(peaks["not_taken"] < 0.6 * peak for name, peak in peaks.items() if name != "not_taken")


@pytest.mark.parametrize("name", DESIGN)
def test_no_sound_is_three_or_five_equal_pulses(name: str) -> None:
    """That is how IEC 60601-1-8 sounds its alarms (the look, L9)."""
    tones, rate = _parts(name)
    pitches = {round(_pitch(tone, rate) / 5) for tone in tones}
    assert len(tones) not in {3, 5} or len(pitches) > 1

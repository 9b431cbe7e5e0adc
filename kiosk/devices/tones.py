"""The sounds of the bench, computed: sine tones with soft edges, as the look (2.13) names them. Standard library only.

Each is an extra to what the screen shows, and none is an alarm: never three or five equal pulses, the pattern that
IEC 60601-1-8 gives to alarms.
"""

import io
import wave
from array import array
from collections.abc import Mapping
from dataclasses import dataclass
from math import cos, pi, sin
from types import MappingProxyType

RATE = 48_000
"""Samples a second; 16 bits, one channel."""
EDGE_MS = 8
"""A tone begins and ends within this time, along half a cosine: no click."""
PEAK, SOFT = 0.5, 0.25
"""Of full scale. How loud that is at the ear, the amplifier decides: at most 75 dB(A), by its own measurement there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tone:
    """Sine tones one after the other: (Hz, ms) each, `gap_ms` of silence between, `peak` of full scale."""

    parts: tuple[tuple[float, int], ...]
    gap_ms: int = 0
    peak: float = PEAK


SOUNDS: Mapping[str, Tone] = MappingProxyType(
    {
        "taken": Tone(parts=((1000, 25),)),
        "yes": Tone(parts=((880, 90), (1175, 90)), gap_ms=15),
        "no": Tone(parts=((660, 90), (494, 90)), gap_ms=15),
        "unsure": Tone(parts=((740, 90),)),
        "not_taken": Tone(parts=((220, 120),), peak=SOFT),
        "new_return": Tone(parts=((523, 300), (784, 300), (523, 300)), gap_ms=60),
    }
)
"""Hz of all, ms of `taken` and `not_taken`, and the 60 to 120 ms of the others: the look 2.13. 90 ms in that range, the
gaps, and how slow "slow" is: choices."""


def samples(tone: Tone) -> "array[int]":
    """The tone as 16-bit samples."""
    out: array[int] = array("h")
    for number, (hertz, ms) in enumerate(tone.parts):
        if number:
            out.extend([0] * _count(tone.gap_ms))
        count = _count(ms)
        out.extend(round(32767 * tone.peak * _edge(at, count) * sin(2 * pi * hertz * at / RATE)) for at in range(count))
    return out


def wav(tone: Tone) -> bytes:
    """The tone as a WAV file."""
    file, told = io.BytesIO(), samples(tone)
    with wave.open(file, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(RATE)
        out.writeframes(b"".join(value.to_bytes(2, "little", signed=True) for value in told))
    return file.getvalue()


def _count(ms: int) -> int:
    return RATE * ms // 1000


def _edge(at: int, count: int) -> float:
    """0 at the ends, 1 in the middle."""
    edge = _count(EDGE_MS)
    near = min(at, count - 1 - at)
    return 1.0 if near >= edge else (1 - cos(pi * near / edge)) / 2

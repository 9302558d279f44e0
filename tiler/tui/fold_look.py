"""How the folded box is looked at: from where, how far closed, how near. Pure."""

from __future__ import annotations

from dataclasses import dataclass, replace

from tiler.fold.camera import CORNERS, Corner

ZOOMS = (1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0)
"""Steps of enlargement; 1 shows the whole box."""

CLOSED, FLAT = 100, 0
"""How far the box is closed, per cent."""


@dataclass(frozen=True)
class Look:
    """One way to look at a box."""

    corner: Corner = CORNERS["front-right"]
    shut: int = CLOSED
    """Per cent: 0 is the flat, 100 the closed box."""
    zoom: float = ZOOMS[0]
    picked: str = ""
    """Name of a meeting, as ``m3``, or of a crease, as ``P2/P5``; empty for nothing."""
    has_names: bool = True
    """True writes the names of panels over the art."""

    @property
    def opening(self) -> float:
        """1 is flat, 0 is closed, as folding has it."""
        return 1 - self.shut / 100

    def turned(self, azimuth: float, elevation: float) -> Look:
        """The viewer steps round the box and up, degrees."""
        return replace(self, corner=self.corner.turned(azimuth, elevation))

    def closed_by(self, steps: int) -> Look:
        """Closed by some per cent more, or less."""
        return self.closed_to(self.shut + steps)

    def closed_to(self, shut: float) -> Look:
        """Closed by so many per cent; what lies beyond the ends is brought back."""
        return replace(self, shut=max(FLAT, min(CLOSED, round(shut))))

    def zoomed(self, steps: int) -> Look:
        """Some steps nearer or farther; 0 shows the whole box."""
        if steps == 0:
            return replace(self, zoom=ZOOMS[0])
        at = min(range(len(ZOOMS)), key=lambda i: abs(ZOOMS[i] - self.zoom))
        return replace(self, zoom=ZOOMS[max(0, min(len(ZOOMS) - 1, at + steps))])

    def next_corner(self, steps: int) -> Look:
        """From the next of the named corners, or the one before."""
        corners = tuple(CORNERS.values())
        at = corners.index(self.corner) if self.corner in corners else (-1 if steps > 0 else 0)
        return replace(self, corner=corners[(at + steps) % len(corners)])

    def picking(self, name: str) -> Look:
        """With a meeting or a crease picked, or nothing."""
        return replace(self, picked=name)

    def named(self, has_names: bool) -> Look:
        """With the names of panels, or without."""
        return replace(self, has_names=has_names)

    def seen_from(self, corner: Corner) -> Look:
        """From a corner."""
        return replace(self, corner=corner)

    def opposite(self) -> Look:
        """From the other side, where the back is seen; of a flat, its other print."""
        return replace(self, corner=self.corner.turned(azimuth=180, elevation=-2 * self.corner.elevation))

    def towards(self, other: Look, share: float) -> Look:
        """On the way to another corner and another opening, the shorter way round.

        Args:
            other: Where to.
            share: 0 is here, 1 is there.
        """
        if share >= 1:
            return other
        soft = share * share * (3 - 2 * share)
        round_it = (other.corner.azimuth - self.corner.azimuth + 180) % 360 - 180
        corner = Corner(
            self.corner.azimuth + soft * round_it,
            self.corner.elevation + soft * (other.corner.elevation - self.corner.elevation),
        )
        return replace(other, corner=corner.turned(), shut=round(self.shut + soft * (other.shut - self.shut)))


def corner_words(corner: Corner) -> str:
    """From where the box is seen.

    >>> corner_words(Corner(32, 24)), corner_words(Corner(-100, -24)), corner_words(Corner(180, 0))
    ('from front right, 24° above', 'from the left, 24° below', 'from the back, level')
    """
    if abs(corner.elevation) >= 89.5:
        return f"straight from {'above' if corner.elevation > 0 else 'below'}"
    turn, side = abs(corner.azimuth), "right" if corner.azimuth > 0 else "left"
    if turn <= 12:
        place = "the front"
    elif turn >= 168:
        place = "the back"
    elif 78 <= turn <= 102:
        place = f"the {side}"
    else:
        place = f"{'front' if turn < 90 else 'back'} {side}"
    height = f"{abs(corner.elevation):.0f}° {'above' if corner.elevation > 0 else 'below'}"
    return f"from {place}, {height if round(corner.elevation) else 'level'}"


def shut_words(shut: int) -> str:
    """How far the box is closed.

    >>> shut_words(0), shut_words(65), shut_words(100)
    ('flat', '65 % closed', 'closed')
    """
    return {FLAT: "flat", CLOSED: "closed"}.get(shut, f"{shut} % closed")

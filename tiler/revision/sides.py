"""The two prints of a job, each in its earlier and its later revision."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.flat.read import Flat
from tiler.geometry import Rect
from tiler.load import Loaded
from tiler.plan.tile import Tile
from tiler.revision.words import same_places
from tiler.run import Prepared

if TYPE_CHECKING:
    from tiler.flat.layers import Key
    from tiler.flat.raster import Preview


@dataclass(frozen=True)
class Side:
    """Outside or inside print before and now."""

    old: Flat
    new: Flat
    hidden_before: frozenset[Key]
    """Layers of the old flat that the sheets leave out."""
    hidden_now: frozenset[Key]
    """Layers of the new flat that the sheets leave out."""
    outside: Flat
    """The flat that the plan was made for."""
    scale: float
    """Of the job."""
    same_text: tuple[Rect, ...] = ()
    """Where text has not changed, flat millimetres."""
    inside: bool = False

    @property
    def is_same_file(self) -> bool:
        """True when there is nothing to compare."""
        old, new = self.old, self.new
        return (old.sha256, old.page, old.box) == (new.sha256, new.page, new.box)

    def previews(self) -> tuple[Preview, Preview]:
        """Both, ready for rendering."""
        from tiler.flat.raster import Preview

        return Preview(self.old, self.hidden_before), Preview(self.new, self.hidden_now)

    def shown(self, tile: Tile) -> Rect:
        """What stays visible of a tile after taping, on paper: from inside also the glue tabs."""
        if not self.inside:
            return tile.face
        return Rect.between(tile.face.x, tile.face.y, tile.window.right, tile.window.bottom)

    def window(self, rect: Rect) -> Rect:
        """The part of the flat that lies at a place on paper; inside art is seen from inside, so mirrored."""
        flat = rect.scaled(1 / self.scale)
        if not self.inside:
            return flat
        from tiler.marks.back import inside_to_flat

        return inside_to_flat(self.outside.size, self.old.size).inverse().bounds(flat)


def sides_of(old: Prepared, new: Loaded) -> tuple[Side, ...]:
    """Outside and, where both revisions have one, inside print."""
    before = old.loaded
    layers = hidden_layers(old, before), hidden_layers(old, new)
    same_text = same_places(before.texts, new.texts)
    sides = [Side(before.flat, new.flat, *layers, before.flat, old.job.scale, same_text)]
    if before.inside is not None and new.inside is not None:
        none: frozenset[Key] = frozenset()
        sides.append(Side(before.inside, new.inside, none, none, before.flat, old.job.scale, inside=True))
    return tuple(sides)


def hidden_layers(old: Prepared, loaded: Loaded) -> frozenset[Key]:
    """Layers that the sheets leave out because guides stand for them."""
    return loaded.structure_layers if old.job.guides == "full" else frozenset()

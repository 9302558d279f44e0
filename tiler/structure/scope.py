"""What the names in a page's resources stand for: layers, spot colours and forms that matter to structure.

Only dictionaries are read here, never a stream, so that a flat without structure names costs next to nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from tiler.flat.names import readable
from tiler.structure.kinds import STRUCTURAL_STEPS, Evidence, LineKind
from tiler.structure.lines import LayerRef
from tiler.structure.words import is_documentation, meaning_of

PROCESS_NAMES = frozenset({"Cyan", "Magenta", "Yellow", "Black", "All", "None"})
"""Colorants that are no spots (ISO 32000-2, 8.6.6.4)."""

Overrides = Mapping[str, "LineKind | None"]
"""What the user said of a layer or spot colour by name; None means: ignore it."""


class Taken(NamedTuple):
    """What a layer or colorant was taken for."""

    name: str
    source: str
    """``processing step``, ``layer`` or ``spot colour``."""
    kind: LineKind | None
    """None when its objects are known to be no lines, or are to be ignored."""
    evidence: Evidence
    is_mixed: bool = False
    """True when dashed lines in it are creases."""

    @property
    def rank(self) -> tuple[int, bool, bool, bool]:
        """Lowest for the most trusted.

        Of names, one that says "no lines" comes first, then one of a kind of line, then one of a whole die;
        what is said of a spot colour beats what is said of a layer.
        """
        trust = min(self.evidence.rank, Evidence.SPOT.rank)
        return trust, self.kind is not None, self.is_mixed, self.source != "spot colour"


class Ink(NamedTuple):
    """A Separation or DeviceN colour space: its colorants and what each was taken for."""

    colorants: tuple[str, ...]
    taken: tuple[Taken | None, ...]

    def painted(self, tints: tuple[float, ...]) -> Taken | None:
        """What a colour of this space is taken for: the single colorant in it that is not zero."""
        tints = tints if len(tints) == len(self.colorants) else (1.0,) * len(self.colorants)
        inked = [taken for taken, tint in zip(self.taken, tints, strict=True) if tint > 0]
        return inked[0] if len(inked) == 1 else None


@dataclass
class Scope:
    """The names that one resource dictionary gives to structure."""

    layers: dict[str, Taken] = field(default_factory=dict)
    """Property name with its slash, to what the layer was taken for."""
    inks: dict[str, Ink] = field(default_factory=dict)
    """Colour space name with its slash; only those with a known colorant."""
    forms: dict[str, Any] = field(default_factory=dict)
    """Form XObjects, still undecoded."""
    own_layers: dict[str, Taken] = field(default_factory=dict)
    """Forms that belong to a layer as a whole (their own /OC)."""
    worth: set[str] = field(default_factory=set)
    """Forms in which structure may be found whatever surrounds them."""

    @property
    def is_empty(self) -> bool:
        """True when nothing in it can lead to structure."""
        layers = any(taken.kind for taken in self.layers.values())
        inks = any(taken is not None and taken.kind for ink in self.inks.values() for taken in ink.taken)
        return not (layers or inks or self.worth)


_DEEPEST_FORMS = 24
"""Forms within forms; viewers give up near the 28 nested states of ISO 32000-1, table C.1."""


class Scopes:
    """Reads resource dictionaries once each and remembers every name seen."""

    def __init__(self, overrides: Overrides) -> None:
        self._told_kinds = {name.casefold(): kind for name, kind in overrides.items()}
        self._told_names = {name.casefold(): name for name in overrides}
        self.seen: dict[tuple[str, str], Taken | None] = {}
        """(name, source) of every layer and spot colour met, in order."""
        self.layer_refs: dict[tuple[str, tuple[int, int]], LayerRef] = {}
        self._known: dict[int, Scope] = {}
        self._keep: list[Any] = []

    def of(self, resources: Any, depth: int = 0) -> Scope:
        """The scope of a resource dictionary, forms inside it followed."""
        resources = _resolved(resources)
        if not isinstance(resources, dict):
            return Scope()
        known = self._known.get(id(resources))
        if known is not None:
            return known
        scope = self._known[id(resources)] = Scope()
        self._keep.append(resources)  # an id stays unique only while its object lives
        for key, value in _entries(resources, "/Properties"):
            taken = self._layer(value)
            if taken is not None:
                scope.layers[key] = taken
        for key, value in _entries(resources, "/ColorSpace"):
            ink = self._ink(value)
            if ink is not None:
                scope.inks[key] = ink
        for key, value in _entries(resources, "/XObject"):
            if isinstance(value, dict) and value.get("/Subtype") == "/Form":
                self._form(scope, key, value, depth)
        return scope

    def _form(self, scope: Scope, key: str, form: dict[str, Any], depth: int) -> None:
        """Note a form and whether structure may be in it."""
        scope.forms[key] = form
        own = self._layer(_resolved(form.get("/OC")))
        if own is not None:
            scope.own_layers[key] = own
        resources = _resolved(form.get("/Resources"))
        if depth >= _DEEPEST_FORMS:
            return
        inner = scope if resources is None else self.of(resources, depth + 1)
        if (own is not None and own.kind) or not inner.is_empty:
            scope.worth.add(key)

    def _layer(self, group: Any) -> Taken | None:
        """What an optional-content group or membership dictionary was taken for."""
        if not isinstance(group, dict):
            return None
        if group.get("/Type") == "/OCMD" or "/OCGs" in group:
            members = _resolved(group.get("/OCGs"))
            members = members if isinstance(members, list) else [members]
            taken = [t for t in (self._group(_resolved(m)) for m in members) if t is not None]
            return min(taken, key=lambda t: (t.kind is None, t.rank), default=None)
        return self._group(group)

    def _group(self, group: Any) -> Taken | None:
        """What a single optional-content group was taken for."""
        if not isinstance(group, dict) or group.get("/Type", "/OCG") != "/OCG" or "/Name" not in group:
            return None
        name = str(_resolved(group.get("/Name")))
        step = _processing_step(group)
        taken = self._told(name, "layer" if step is None else "processing step")
        if taken is None and step is not None:
            structural, kind = step
            taken = Taken(
                name,
                "processing step",
                STRUCTURAL_STEPS.get(kind) if structural else None,
                Evidence.PROCESSING_STEP,
            )
        elif taken is None:
            meaning = meaning_of(name)
            if meaning is not None:
                taken = Taken(name, "layer", meaning.kind, Evidence.LAYER, meaning.is_mixed)
            elif is_documentation(name):
                taken = Taken(name, "layer", None, Evidence.LAYER)
        self._note(name, "layer" if step is None else "processing step", taken)
        if taken is not None and taken.kind is not None:
            reference = getattr(group, "indirect_reference", None)
            key = (0, 0) if reference is None else (reference.idnum, reference.generation)
            self.layer_refs[name, key] = LayerRef(name, key, taken.kind)
        return taken

    def _ink(self, space: Any) -> Ink | None:
        """A Separation or DeviceN space, none when no colorant of it was taken for anything."""
        if not isinstance(space, list) or len(space) < 2 or space[0] not in ("/Separation", "/DeviceN"):
            return None
        names = _resolved(space[1])
        names = names if isinstance(names, list) else [names]
        colorants = tuple(readable(str(_resolved(name)).removeprefix("/")) for name in names)
        taken = tuple(self._colorant(name) for name in colorants)
        return Ink(colorants, taken) if any(taken) else None

    def _colorant(self, name: str) -> Taken | None:
        """What a colorant was taken for."""
        taken = self._told(name, "spot colour")
        if taken is None and name == "All":  # crop and register marks
            return Taken(name, "spot colour", None, Evidence.SPOT)
        if taken is None and name in PROCESS_NAMES:
            return None
        meaning = meaning_of(name)
        if taken is None and meaning is not None:
            taken = Taken(name, "spot colour", meaning.kind, Evidence.SPOT, meaning.is_mixed)
        self._note(name, "spot colour", taken)
        return taken

    def _told(self, name: str, source: str) -> Taken | None:
        """What the user said of the name."""
        if name.casefold() not in self._told_kinds:
            return None
        self._told_names.pop(name.casefold(), None)
        return Taken(name, source, self._told_kinds[name.casefold()], Evidence.TOLD)

    def unheard(self) -> list[str]:
        """Names the user spoke of that no layer or spot colour bears."""
        return list(self._told_names.values())

    def _note(self, name: str, source: str, taken: Taken | None) -> None:
        """Remember the name for the list of candidates."""
        self.seen.setdefault((name, source), taken)


def _processing_step(group: dict[str, Any]) -> tuple[bool, str] | None:
    """Whether the group is structural, and its type (ISO 19593-1); none without the metadata.

    The keys belong in /GTS_Metadata; some writers lay them on the layer itself, which is forgiven.
    """
    metadata = _resolved(group.get("/GTS_Metadata"))
    holder = metadata if isinstance(metadata, dict) else group
    step_group = _resolved(holder.get("/GTS_ProcStepsGroup"))
    if step_group is None:
        return None
    kind = str(_resolved(holder.get("/GTS_ProcStepsType")) or "")
    return str(step_group).removeprefix("/") == "Structural", kind.removeprefix("/")


def _resolved(value: Any) -> Any:
    """The object behind a reference; none for one that cannot be read."""
    try:
        return value.get_object() if hasattr(value, "get_object") else value
    except Exception:  # pypdf raises many kinds for damaged objects
        return None


def _entries(resources: dict[str, Any], key: str) -> list[tuple[str, Any]]:
    """The resolved entries of one resource category."""
    category = _resolved(resources.get(key))
    if not isinstance(category, dict):
        return []
    return [(str(name), _resolved(value)) for name, value in category.items()]

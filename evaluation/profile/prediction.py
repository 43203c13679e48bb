"""The colours that a print should show, predicted by its profile for one sheet and one printing condition.

Always A2B1(B2A_intent(aim)): the table of the intent chooses the ink, the colorimetric one gives the colour
of that ink. One call of Little CMS serves all patches, and one more all hypotheses about what happened to the
file on its way.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final, Protocol

import numpy as np

from evaluation.colorimetry.encodings import ENCODINGS, xyz_from_rgb
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.profile.engine import Array, Profile, device_from_lab, lab_from_device
from evaluation.profile.gamut import LEAST, OUTSIDE, gamut_surface
from evaluation.profile.less_ink import less_ink
from evaluation.profile.mesh import Mask, Mesh
from evaluation.session import INTENTS, Intent

_ABSOLUTE: Final = "absolute colorimetric"
_NODES: Final = 17  # of the mesh; its volume differs from that of 33 nodes by less than 0.01 %
_BLACK: Final = np.zeros((1, 3))
# Surfaces of the profiles used last, by their bytes: prints of one profile are weighed one after the other.
_KEPT: Final = 4
_MESHES: Final[dict[bytes, Mesh | None]] = {}


class Field(Protocol):
    """What a prediction needs of a patch: its id, and its source values, 0..1, where it has any."""

    @property
    def id(self) -> str: ...

    @property
    def source(self) -> tuple[float, float, float] | None: ...


@dataclass(frozen=True, eq=False)
class Prediction:
    """The colours that a sheet should show, printed through `profile`.

    It is what `metrics.predicted.Predicted` asks for.

    Colours in and out are CIELAB for D50 in the frame of the comparison: media-relative, except under the
    absolute intent, where they are absolute.

    Attributes
    ----------
    patches : (n,)
        Every patch of the sheet.
    aims : (n, 3)
        Their CIELAB before black point compensation, relative to the sheet's own paper; rows of nan where the
        map states no colour.
    encoding : str or None
        Of the patches' sources, a key of `colorimetry.encodings.ENCODINGS`; None on maps that
        state CIELAB only.
    compensation : bool
        Black point compensation; it has no meaning under the absolute intent.
    outside : float
        dE*ab from the surface of the gamut beyond which an aim lies outside.
    """

    profile: Profile
    intent: Intent
    compensation: bool
    patches: Sequence[Field]
    aims: Array
    encoding: str | None
    outside: float = OUTSIDE

    @property
    def black_y(self) -> float:
        """Luminance, 0..100 relative to its paper, of the black that the tables of the intent reach."""
        return float(xyz_from_lab(self._relative[-1])[1])

    @property
    def paper_lab(self) -> Array | None:
        """(3,) absolute CIELAB of the paper the profile was made for; None where the profile states none."""
        contents = self.profile.contents
        if contents.white is None or contents.profile_class != "output":
            return None
        return lab_from_xyz(np.array(contents.white) * 100)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What a reader must know about this prediction, one sentence each."""
        named = self.profile.contents.intents
        if not named or self.intent == _ABSOLUTE or self.intent in named:
            return ()
        return (f"The profile has no {self.intent} table; its {named[0]} one is used instead.",)

    def lab(self, patches: Sequence[Field]) -> Array:
        """(n, 3) CIELAB that the print should show; rows of nan for patches without an aim."""
        return self._framed(self._chosen(self._relative, patches))

    def inside(self, aim: Array) -> Mask | None:
        """(n,) which aims (n, 3) lie inside the gamut, or within `outside` of it; None where not known."""
        if self._mesh is None:
            return None
        if self.intent == _ABSOLUTE:
            aim = lab_from_xyz(xyz_from_lab(aim) / self.profile.white_scale)
        return self._mesh.within(aim, self.outside)

    def under(self, hypothesis: str, patches: Sequence[Field]) -> Array | None:
        """(n, 3) the colours of the print under another hypothesis; None for one that does not apply here.

        About the file: "profile applied twice", "no profile", "encoding NAME", "intent NAME", "no
        compensation" and "compensation" (black point compensation). A profile applied twice takes the
        values it made for values of the same encoding again. About the machine: "less of channel N", "less
        of channel N in the middle" and "less black", each with `LESS` of the ink gone, see `less_ink`.
        """
        found = self._hypotheses.get(hypothesis)
        return None if found is None else self._framed(self._chosen(found, patches))

    @property
    def _relative(self) -> Array:
        """(n + 1, 3) media-relative: every patch of the sheet, then the black."""
        return self._seen[0]

    @property
    def _mesh(self) -> Mesh | None:
        return self._seen[1]

    @cached_property
    def _seen(self) -> tuple[Array, Mesh | None]:
        """Patches, black and the gamut's surface: one call, which costs the same for all as for one."""
        content, own = self.profile.content, self._own
        surface = None if content in _MESHES else gamut_surface(self.profile, _NODES)
        if surface is None:
            return lab_from_device(self.profile, own), _MESHES.get(content)
        device, triangles = surface
        lab = lab_from_device(self.profile, np.concatenate([own, device]))
        mesh = Mesh(lab[len(own) :], triangles)
        found = mesh if not mesh.torn and mesh.volume >= LEAST else None
        while len(_MESHES) >= _KEPT:
            _MESHES.pop(next(iter(_MESHES)), None)
        _MESHES[content] = found
        return lab[: len(own)], found

    @cached_property
    def _own(self) -> Array:
        """(n + 1, channels) device values as the condition states them, the black's last."""
        return self._device(np.concatenate([self.aims, _BLACK]))

    @cached_property
    def _rows(self) -> dict[str, int]:
        return {patch.id: row for row, patch in enumerate(self.patches)}

    @cached_property
    def _hypotheses(self) -> Mapping[str, Array]:
        """Media-relative CIELAB of every patch under each hypothesis that this profile and sheet allow."""
        ways = self._other_settings() | self._other_sources()
        ways |= less_ink(self._own[:-1], self.profile.contents.device_space)
        if not ways:
            return {}
        together = lab_from_device(self.profile, np.concatenate(list(ways.values())))
        return dict(zip(ways, np.split(together, len(ways)), strict=True))

    def _other_settings(self) -> dict[str, Array]:
        ways: dict[str, Array] = {}
        named = self.profile.contents.intents
        for intent in INTENTS:
            if intent != self.intent and (intent in named or intent == _ABSOLUTE):
                ways[f"intent {intent}"] = self._device(self.aims, intent=intent)
        if self.intent != _ABSOLUTE:
            name = "no compensation" if self.compensation else "compensation"
            ways[name] = self._device(self.aims, compensation=not self.compensation)
        return ways

    def _other_sources(self) -> dict[str, Array]:
        if self.encoding is None or self.profile.contents.device_space != "RGB":
            return {}
        nothing = (np.nan,) * 3
        source = np.array([patch.source or nothing for patch in self.patches], dtype=np.float64)
        others = [encoding for encoding in ENCODINGS if encoding != self.encoding]
        taken_for = [_decoded(source, other) for other in others]
        taken_for.append(_decoded(self._own[:-1], self.encoding))
        names = [*(f"encoding {other}" for other in others), "profile applied twice"]
        device = np.split(self._device(np.concatenate(taken_for)), len(names))
        return {"no profile": source} | dict(zip(names, device, strict=True))

    def _device(self, lab: Array, *, intent: Intent | None = None, compensation: bool | None = None) -> Array:
        """Device values of aims (n, 3), nan without one; settings not given are the condition's."""
        return device_from_lab(
            self.profile,
            lab,
            intent or self.intent,
            black_compensation=self.compensation if compensation is None else compensation,
        )

    def _chosen(self, rows: Array, patches: Sequence[Field]) -> Array:
        """Rows of some patches, in their order; nan for a patch of another sheet."""
        chosen = np.full((len(patches), 3), np.nan)
        for place, patch in enumerate(patches):
            if (row := self._rows.get(patch.id)) is not None:
                chosen[place] = rows[row]
        return chosen

    def _framed(self, relative: Array) -> Array:
        if self.intent != _ABSOLUTE:
            return relative
        return lab_from_xyz(xyz_from_lab(relative) * self.profile.white_scale)


def _decoded(rgb: Array, encoding: str) -> Array:
    """CIELAB of RGB (n, 3); white is D50, as colour management hands it to the profile."""
    return lab_from_xyz(xyz_from_rgb(rgb, encoding))

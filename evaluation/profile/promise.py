"""What a print's profile promises of it: `metrics.expected.Expected` for one sheet and one condition.

Always A2B1(B2A_intent(aim)): the table of the intent chooses the ink, the colorimetric one says what that ink
looks like. Little CMS is asked once for all patches, and once for all hypotheses about the way they went.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from evaluation.colorimetry.encodings import xyz_from_rgb
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.profile.engine import Array, Profile, device_from_lab, lab_from_device
from evaluation.profile.gamut import LEAST, OUTSIDE, gamut_surface
from evaluation.profile.mesh import Mask, Mesh
from evaluation.profile.thinner import thinner
from evaluation.session import INTENTS, Intent
from evaluation.sheet.layout import ENCODINGS, Encoding, Patch

_ABSOLUTE: Final = "absolute colorimetric"
_NODES: Final = 17  # of the mesh; its volume differs from that of 33 nodes by less than 0.01 %
_BLACK: Final = np.zeros((1, 3))


@dataclass(frozen=True, eq=False)
class Promise:
    """The colours that a sheet should show, printed through `profile`.

    patches       every patch of the sheet
    aims          (n, 3) their CIELAB without black mapping: relative to the sheet's own paper, for the
                  absolute intent absolute; rows of nan where the sheet does not say
    encoding      of the patches' sources; None on maps that state CIELAB only
    compensation  black point compensation; no meaning for absolute colorimetric
    outside       dE*ab; an aim further from the mesh lies outside the gamut

    Results are in the frame of the comparison: media-relative, for the absolute intent absolute.
    """

    profile: Profile
    intent: Intent
    compensation: bool
    patches: tuple[Patch, ...]
    aims: Array
    encoding: Encoding | None
    outside: float = OUTSIDE

    @property
    def black_y(self) -> float:
        """Luminance, 0..100 relative to its paper, of the black that the tables of the intent reach."""
        return float(xyz_from_lab(self._relative[-1])[1])

    @property
    def paper_lab(self) -> Array | None:
        """(3,) absolute CIELAB of the paper that the profile was made for; None where it does not say."""
        contents = self.profile.contents
        if contents.white is None or contents.profile_class != "output":
            return None
        return lab_from_xyz(np.array(contents.white) * 100)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What a reader must know of this promise."""
        named = self.profile.contents.intents
        if not named or self.intent == _ABSOLUTE or self.intent in named:
            return ()
        return (f"The profile has no {self.intent} table; its {named[0]} one stands in for it.",)

    def lab(self, patches: Sequence[Patch]) -> Array:
        """(n, 3) CIELAB that the print should show; rows of nan for patches without an aim."""
        return self._framed(self._chosen(self._relative, patches))

    def inside(self, aim: Array) -> Mask | None:
        """(n,) which aims (n, 3) lie in the profile's mesh or near enough to it; None: gamut not known."""
        if self._mesh is None:
            return None
        if self.intent == _ABSOLUTE:
            aim = lab_from_xyz(xyz_from_lab(aim) / self.profile.white_scale)
        return self._mesh.within(aim, self.outside)

    def under(self, hypothesis: str, patches: Sequence[Patch]) -> Array | None:
        """(n, 3) what the print would show had the file gone another way; None: that cannot be said.

        Known are "profile applied twice", "no profile", "encoding NAME", "intent NAME", "no compensation"
        and "compensation". A profile applied twice takes the values it made for the same encoding again.
        For what comes after the file: "less of channel N", "less of channel N in the middle" and "less
        black", each `LESS` of the ink gone, see `profile.thinner`.
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
        surface = gamut_surface(self.profile, _NODES)
        if surface is None:
            return lab_from_device(self.profile, self._own), None
        device, triangles = surface
        lab = lab_from_device(self.profile, np.concatenate([self._own, device]))
        mesh = Mesh(lab[len(self._own) :], triangles)
        sound = not mesh.torn and mesh.volume >= LEAST
        return lab[: len(self._own)], mesh if sound else None

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
        ways |= thinner(self._own[:-1], self.profile.contents.device_space)
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
        """Device values of aims (n, 3), nan where there is none; settings of the condition."""
        return device_from_lab(
            self.profile,
            lab,
            intent or self.intent,
            black_compensation=self.compensation if compensation is None else compensation,
        )

    def _chosen(self, rows: Array, patches: Sequence[Patch]) -> Array:
        """Rows of some patches, in their order; nan for a patch that is not of this sheet."""
        chosen = np.full((len(patches), 3), np.nan)
        for place, patch in enumerate(patches):
            if (row := self._rows.get(patch.id)) is not None:
                chosen[place] = rows[row]
        return chosen

    def _framed(self, relative: Array) -> Array:
        if self.intent != _ABSOLUTE:
            return relative
        return lab_from_xyz(xyz_from_lab(relative) * self.profile.white_scale)


def _decoded(rgb: Array, encoding: Encoding) -> Array:
    """CIELAB of RGB (n, 3); white is D50, as an application hands it to the profile."""
    return lab_from_xyz(xyz_from_rgb(rgb, encoding))

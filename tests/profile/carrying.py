"""Profiles with what they were made from inside: twins of what programs write, made by the tests."""

import struct
import zlib
from collections.abc import Mapping, Sequence

from tests.profile.probes import profile, tag_at


def carrying(sound: bytes, tags: Mapping[bytes, bytes], *, created: str = "") -> bytes:
    """The same profile with more tags; `created` is another date for its header, as 2026-03-02T09:30:00."""
    count = struct.unpack_from(">I", sound, 128)[0]
    entries = [bytes(sound[132 + 12 * n : 136 + 12 * n]) for n in range(count)]
    own = {name: sound[tag_at(sound, name)[1] :][: tag_at(sound, name)[2]] for name in entries}
    made = bytearray(profile({**own, **tags}, space=sound[16:20]))
    made[4:36] = sound[4:36]
    if created:
        day, _, time = created.partition("T")
        made[24:36] = struct.pack(">6H", *map(int, (*day.split("-"), *time.split(":"))))
    return bytes(made)


def text_tag(text: str | bytes, kind: bytes = b"text") -> bytes:
    """A tag of text as ICC.1 has it: type, four reserved bytes, text, NUL."""
    return kind + bytes(4) + (text if isinstance(text, bytes) else text.encode("latin-1")) + b"\0"


def packed_tag(text: str | bytes, kind: bytes = b"zxfx") -> bytes:
    """A private tag whose text is compressed (RFC 1950)."""
    return kind + bytes(4) + zlib.compress(text if isinstance(text, bytes) else text.encode())


def table(names: str, rows: Sequence[Sequence[object]], keywords: str = "") -> str:
    """ISO 28178 text of one table."""
    return (
        f"CGATS.17\n{keywords}NUMBER_OF_FIELDS {len(names.split())}\nBEGIN_DATA_FORMAT\n{names}\n"
        f"END_DATA_FORMAT\nNUMBER_OF_SETS {len(rows)}\nBEGIN_DATA\n"
        + "".join(" ".join(map(str, row)) + "\n" for row in rows)
        + "END_DATA\n"
    )


def cxf(rows: Sequence[tuple[tuple[int, int, int], Sequence[float]]], condition: str = "M0") -> str:
    """CxF3 (ISO 17972) of device values 0..255 and spectra from 380 nm in steps of 10."""
    objects = "".join(
        f'<cc:Object ObjectType="Target" Name="P{n}" Id="p{n}"><cc:ColorValues><cc:ReflectanceSpectrum '
        f'ColorSpecification="s">{" ".join(f"{value:.4f}" for value in spectrum)}</cc:ReflectanceSpectrum>'
        f'</cc:ColorValues><cc:DeviceColorValues><cc:ColorRGB MaxRange="255"><cc:R>{r}</cc:R><cc:G>{g}</cc:G>'
        f"<cc:B>{b}</cc:B></cc:ColorRGB></cc:DeviceColorValues></cc:Object>"
        for n, ((r, g, b), spectrum) in enumerate(rows, 1)
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core">'
        f"<cc:Resources><cc:ObjectCollection>{objects}</cc:ObjectCollection><cc:ColorSpecificationCollection>"
        '<cc:ColorSpecification Id="s"><cc:MeasurementSpec><cc:MeasurementType>Spectrum_Reflectance'
        '</cc:MeasurementType><cc:WavelengthRange StartWL="380" Increment="10"/><cc:Device>'
        f"<cc:DeviceIllumination>{condition}_Incandescent</cc:DeviceIllumination></cc:Device>"
        "</cc:MeasurementSpec></cc:ColorSpecification></cc:ColorSpecificationCollection></cc:Resources></cc:CxF>"
    )
